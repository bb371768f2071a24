package org.fieldwright.app.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.fieldwright.app.cli.ExitStatus.BAD_INPUT;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.networknt.schema.InputFormat;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.SpecificationVersion;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;
import java.util.function.UnaryOperator;
import java.util.zip.ZipEntry;
import java.util.zip.ZipOutputStream;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.text.PDFTextStripper;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Evidence on the example survey, and what becomes of it in other hands. */
class EvidenceCommandTest {
  private static final Path SURVEY = CommandLineCall.EXAMPLES.resolve("survey.csv");
  private static final Path MAGNET = CommandLineCall.EXAMPLES.resolve("magnet.yaml");

  @TempDir private static Path folder;
  private static Path bundle;
  private static Path key;

  @BeforeAll
  static void make() {
    key = folder.resolve("k.pem");
    assertThat(CommandLineCall.run("signing-key", "--out", key).status()).isZero();
    bundle = folder.resolve("b.zip");
    CommandLineCall call =
        CommandLineCall.run("evidence", SURVEY, "--magnet", MAGNET, "--key", key, "--out", bundle);
    assertThat(call.status()).as(call.notes()).isEqualTo(ExitStatus.DONE);
  }

  private static CommandLineCall verify(byte[] bytes) throws IOException {
    return CommandLineCall.run("verify", Files.write(folder.resolve("other.zip"), bytes));
  }

  @Test
  void anHonestBundleIsVerified() throws IOException {
    CommandLineCall call =
        CommandLineCall.run("verify", bundle, "--signer", folder.resolve("k.pub.pem"), "--json");
    assertThat(call.status()).as(call.notes()).isEqualTo(ExitStatus.DONE);
    JsonNode answer = new ObjectMapper().readTree(call.answer());
    assertThat(answer.get("verified").asBoolean()).isTrue();
    assertThat(answer.get("signer_expected").asBoolean()).isTrue();
    assertThat(answer.get("numbers_recomputed").asInt()).isGreaterThan(300);
    assertThat(answer.get("differences")).isEmpty();
    assertThat(answer.get("verdicts").size()).isPositive();
  }

  @Test
  void theManifestIsADataPackage() throws IOException {
    Map<String, byte[]> entries = Forgery.entries(bundle);
    String manifest = new String(entries.get("datapackage.json"), StandardCharsets.UTF_8);
    String schema = Files.readString(Path.of("..", "docs", "schemas", "bundle.schema.json"));
    assertThat(
            SchemaRegistry.withDefaultDialect(SpecificationVersion.DRAFT_2020_12)
                .getSchema(schema)
                .validate(manifest, InputFormat.JSON))
        .isEmpty();
  }

  /** As it was written: the structure, the contents, the manifest and the signature. */
  @Test
  void noFlippedByteGoesUnseen() throws IOException {
    byte[] good = Files.readAllBytes(bundle);
    SplittableRandom random = new SplittableRandom(20261125);
    int regions = 1000;
    for (int k = 0; k < regions; k++) {
      int from = (int) ((long) good.length * k / regions);
      int to = (int) ((long) good.length * (k + 1) / regions);
      int at = from + random.nextInt(Math.max(1, to - from));
      byte[] bad = good.clone();
      bad[at] ^= (byte) (1 << random.nextInt(8));
      CommandLineCall call = verify(bad);
      assertThat(call.status()).as("byte %d", at).isEqualTo(BAD_INPUT);
    }
  }

  /**
   * By someone who makes the archive's own checksums fit again, so that hashes and signature alone
   * stand in the way: the first, the last and other bytes of every file.
   */
  @Test
  void noFlippedByteGoesUnseenWhereChecksumsFit() throws IOException {
    Map<String, byte[]> good = Forgery.entries(bundle);
    SplittableRandom random = new SplittableRandom(20261126);
    int each = 1000 / good.size() + 1;
    int flips = 0;
    for (String name : good.keySet()) {
      int length = good.get(name).length;
      for (int k = 0; k < each; k++) {
        int at = k == 0 ? 0 : k == 1 ? length - 1 : random.nextInt(length);
        byte[] bad = good.get(name).clone();
        bad[at] ^= (byte) (1 << random.nextInt(8));
        Map<String, byte[]> entries = new LinkedHashMap<>(good);
        entries.put(name, bad);
        CommandLineCall call = verify(Forgery.bytes(entries));
        assertThat(call.status()).as("%s, byte %d", name, at).isEqualTo(BAD_INPUT);
        flips++;
      }
    }
    assertThat(flips).isGreaterThanOrEqualTo(1000);
  }

  @Test
  void anotherSignerIsTold() {
    Path other = folder.resolve("other.pem");
    CommandLineCall.run("signing-key", "--out", other);
    CommandLineCall call =
        CommandLineCall.run("verify", bundle, "--signer", folder.resolve("other.pub.pem"));
    assertThat(call.status()).isEqualTo(BAD_INPUT);
    assertThat(call.notes()).contains("signed by the key");
  }

  private static CommandLineCall cheated(String name, UnaryOperator<String> change)
      throws Exception {
    return verify(Forgery.of(bundle, key, name, change));
  }

  /** Smaller, beyond all numbers, a millionth of a tesla off, one reading more. */
  @ParameterizedTest
  @CsvSource({
    "value_ppm,1.0",
    "value_ppm,1e999",
    "field_T,0.550120001",
    "readings,999999",
    "degree,8"
  })
  void aNumberThatTheReadingsDoNotGiveIsNamed(String field, String number) throws Exception {
    CommandLineCall call =
        cheated(
            "results/assessment.json",
            t -> t.replaceFirst("(\"" + field + "\" : )[0-9.E-]+", "$1" + number));
    assertThat(call.status()).isEqualTo(BAD_INPUT);
    assertThat(call.answer()).contains("DIFFERS");
    assertThat(call.notes())
        .contains("results/assessment.json#/")
        .contains("/" + field + ": stated");
  }

  /** In a table the row and the column are named, in the manifest the field. */
  @Test
  void aCellThatTheReadingsDoNotGiveIsNamed() throws Exception {
    CommandLineCall cell =
        cheated("tables/survey/verdicts.csv", t -> t.replaceFirst("not_met", "met"));
    assertThat(cell.status()).isEqualTo(BAD_INPUT);
    assertThat(cell.notes())
        .contains(
            "tables/survey/verdicts.csv row 2, column verdict: stated met, recomputed not_met");
    CommandLineCall row = cheated("tables/survey/harmonics.csv", t -> t + "99,0,cos,X,1,1,200\n");
    assertThat(row.notes())
        .contains("tables/survey/harmonics.csv row")
        .contains("recomputed nothing");
    CommandLineCall unit =
        cheated("datapackage.json", t -> t.replaceFirst("\"unit\" : \"T\"", "\"unit\" : \"G\""));
    assertThat(unit.status()).isEqualTo(BAD_INPUT);
    assertThat(unit.notes())
        .contains("datapackage.json#/resources/")
        .contains("/unit: stated \"G\"");
  }

  /** One number for people, the right one for the program. */
  @Test
  void aDocumentThatSaysTwoThingsIsRefused() throws Exception {
    CommandLineCall twice =
        cheated(
            "results/assessment.json",
            t -> t.replaceFirst("(\"value_ppm\" : )", "\"value_ppm\" : 1.0, $1"));
    assertThat(twice.status()).isEqualTo(BAD_INPUT);
    assertThat(twice.notes()).contains("results/assessment.json");
    CommandLineCall after = cheated("results/assessment.json", t -> t + "{\"verdict\" : \"met\"}");
    assertThat(after.status()).isEqualTo(BAD_INPUT);
    assertThat(after.notes()).contains("results/assessment.json");
  }

  @Test
  void aFileThatNobodySignedIsRefused() throws IOException {
    Map<String, byte[]> entries = new LinkedHashMap<>(Forgery.entries(bundle));
    entries.put("extra.txt", new byte[] {1});
    CommandLineCall call = verify(Forgery.bytes(entries));
    assertThat(call.status()).isEqualTo(BAD_INPUT);
    assertThat(call.notes()).contains("extra.txt");
  }

  @Test
  void whatIsNoBundleIsRefused() throws IOException {
    assertThat(verify(new byte[0]).status()).isEqualTo(BAD_INPUT);
    assertThat(CommandLineCall.run("verify", SURVEY).status()).isEqualTo(BAD_INPUT);
    assertThat(CommandLineCall.run("verify", folder).status()).isEqualTo(BAD_INPUT);
  }

  /** Cut short, a name that leaves, much from little, a link: exit 2, and nothing lies anywhere. */
  @Test
  void hostileBundlesAreRefusedAndNothingIsUnpacked() throws IOException {
    byte[] good = Files.readAllBytes(bundle);
    String escaped = "escaped-" + System.nanoTime();
    Map<String, byte[]> hostile = new LinkedHashMap<>();
    hostile.put("cut", Arrays.copyOf(good, good.length / 2));
    hostile.put("leaving", zip("../" + escaped, new byte[] {1}));
    hostile.put("absolute", zip("/tmp/" + escaped, new byte[] {1}));
    hostile.put("bomb", zip("datapackage.json", new byte[32 << 20]));
    byte[] link = good.clone();
    int central = new String(link, StandardCharsets.ISO_8859_1).indexOf("PK\u0001\u0002");
    link[central + 5] = 3; // made on Unix
    link[central + 41] = (byte) 0xA1; // the mode of a symbolic link, APPNOTE 4.4.15
    hostile.put("link", link);
    for (Map.Entry<String, byte[]> e : hostile.entrySet()) {
      CommandLineCall call = verify(e.getValue());
      assertThat(call.status()).as("%s: %s", e.getKey(), call.notes()).isEqualTo(BAD_INPUT);
      assertThat(call.answer()).as(e.getKey()).isEmpty();
    }
    Path temporary = Path.of(System.getProperty("java.io.tmpdir"));
    for (Path place : List.of(folder, folder.resolve(".."), temporary, temporary.resolve(".."))) {
      assertThat(place.resolve(escaped)).doesNotExist();
    }
  }

  private static byte[] zip(String name, byte[] content) throws IOException {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    try (ZipOutputStream zip = new ZipOutputStream(out)) {
      zip.putNextEntry(new ZipEntry(name));
      zip.write(content);
    }
    return out.toByteArray();
  }

  /** The numbers of the report are for people; those that are recomputed stay as they are. */
  @Test
  void aBundleWithAGermanReportIsVerifiedAllTheSame() throws IOException {
    Path german = folder.resolve("german.zip");
    CommandLineCall made =
        CommandLineCall.run(
            "evidence",
            SURVEY,
            "--magnet",
            MAGNET,
            "--key",
            key,
            "--numbers",
            "de",
            "--out",
            german);
    assertThat(made.status()).as(made.notes()).isEqualTo(ExitStatus.DONE);
    byte[] pdf = Forgery.entries(german).get("report.pdf");
    try (PDDocument document = Loader.loadPDF(pdf)) {
      assertThat(new PDFTextStripper().getText(document)).contains("as in German: 1.234,56");
    }
    assertThat(CommandLineCall.run("verify", german).status()).isEqualTo(ExitStatus.DONE);
    CommandLineCall unknown =
        CommandLineCall.run(
            "evidence",
            SURVEY,
            "--magnet",
            MAGNET,
            "--key",
            key,
            "--numbers",
            "it",
            "--out",
            german);
    assertThat(unknown.status()).isEqualTo(BAD_INPUT);
    assertThat(unknown.notes()).contains("--numbers: found 'it'; right is one of en, de, fr");
  }
}
