package org.fieldwright.app.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;
import static org.fieldwright.app.cli.ExitStatus.BAD_INPUT;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.networknt.schema.InputFormat;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.SpecificationVersion;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.function.UnaryOperator;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.text.PDFTextStripper;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * A log in which three probes read in turn, twenty seconds apart, as evidence. The magnet allows
 * 0.1 ppm/h; what each probe sees, offset and drift, was put in.
 */
class EvidenceOfProbesTest {
  private static final ObjectMapper JSON = new ObjectMapper();
  private static final Path SURVEY = CommandLineCall.EXAMPLES.resolve("survey.csv");
  private static final int TURNS = 400;
  private static final double NOISE_PPM = 0.005;
  private static final double[] OFFSETS = {0, 3, -2};

  /** ppm/h; the third alone is beyond the limit. */
  private static final double[] DRIFTS = {0.02, 0.03, -0.3};

  @TempDir private static Path folder;
  private static Path magnet;
  private static Path log;
  private static Path key;
  private static Path bundle;

  @BeforeAll
  static void make() throws IOException {
    magnet = folder.resolve("magnet.yaml");
    String text = Files.readString(CommandLineCall.EXAMPLES.resolve("magnet.yaml"));
    Files.writeString(
        magnet,
        text.replace(
            "limits:\n",
            "limits:\n  - {id: stability, measure: drift, limit_ppm_per_hour: 0.1}\n"));
    log = Files.writeString(folder.resolve("turns.csv"), turns(3, ""));
    key = folder.resolve("k.pem");
    CommandLineCall.run("signing-key", "--out", key);
    bundle = folder.resolve("b.zip");
    CommandLineCall call = evidence(log, bundle);
    assertThat(call.status()).as(call.notes()).isEqualTo(ExitStatus.DONE);
    assertThat(call.answer()).contains("Not every limit that was judged is met.");
  }

  /**
   * The log.
   *
   * @param more rows after the others
   */
  private static String turns(int probes, String more) {
    Random random = new Random(20261126);
    Instant start = Instant.parse("2026-11-20T18:00:00Z");
    StringBuilder csv = new StringBuilder("time,probe,field_T\n");
    for (int k = 0; k < TURNS * probes; k++) {
      int p = k % probes;
      double hours = 20.0 * k / 3600;
      double ppm = OFFSETS[p] + DRIFTS[p] * hours + NOISE_PPM * random.nextGaussian();
      csv.append(start.plusSeconds(20L * k)).append(',').append(p + 1).append(',');
      csv.append(0.55 * (1 + 1e-6 * ppm)).append('\n');
    }
    return csv + more;
  }

  private static CommandLineCall evidence(Path of, Path to) {
    return CommandLineCall.run(
        "evidence", SURVEY, "--magnet", magnet, "--log", of, "--key", key, "--out", to);
  }

  private static JsonNode document(String name) throws IOException {
    return JSON.readTree(Forgery.entries(bundle).get(name));
  }

  @Test
  void eachProbeIsJudgedByItself() throws IOException {
    List<String> verdicts = List.of("met", "met", "not_met");
    for (int p = 0; p < 3; p++) {
      JsonNode found = document("results/log-1/probe-%d/stability.json".formatted(p + 1));
      assertThat(found.at("/log/probe").asInt()).isEqualTo(p + 1);
      assertThat(found.at("/log/samples").asInt()).isEqualTo(TURNS);
      double u = found.at("/drift/uncertainty_ppm_per_hour").asDouble();
      assertThat(u).isBetween(1e-5, 0.02);
      assertThat(found.at("/drift/ppm_per_hour").asDouble()).isCloseTo(DRIFTS[p], within(4 * u));
      assertThat(found.at("/limits/0/verdict").asText()).isEqualTo(verdicts.get(p));
    }
    Map<String, byte[]> entries = Forgery.entries(bundle);
    assertThat(entries).doesNotContainKey("results/log-1/stability.json");
    for (String table : List.of("verdicts", "events", "forecast", "deviations")) {
      assertThat(entries).containsKey("tables/log-1/probe-2/" + table + ".csv");
    }
  }

  /** The other door to the same service. */
  @Test
  void watchSaysTheSameOfAProbe() throws IOException {
    CommandLineCall call =
        CommandLineCall.run("watch", log, "--magnet", magnet, "--probe", "2", "--json");
    assertThat(JSON.readTree(call.answer()))
        .isEqualTo(document("results/log-1/probe-2/stability.json"));
    String schema = Files.readString(Path.of("..", "docs", "schemas", "watch.schema.json"));
    assertThat(
            SchemaRegistry.withDefaultDialect(SpecificationVersion.DRAFT_2020_12)
                .getSchema(schema)
                .validate(call.answer(), InputFormat.JSON))
        .isEmpty();
  }

  /** The visit's verdict is that of the probe that speaks most against the limit. */
  @Test
  void oneProbeBeyondTheLimitDecides() throws IOException {
    JsonNode limit = document("results/conformity.json").at("/limits/0");
    assertThat(limit.get("id").asText()).isEqualTo("stability");
    assertThat(limit.get("verdict").asText()).isEqualTo("not_met");
    assertThat(limit.get("value_ppm_per_hour").asDouble()).isCloseTo(0.3, within(0.05));
  }

  @Test
  void everyNumberOfEveryProbeIsRecomputed() throws Exception {
    CommandLineCall honest = CommandLineCall.run("verify", bundle);
    assertThat(honest.status()).as(honest.notes()).isEqualTo(ExitStatus.DONE);
    assertThat(honest.answer()).containsPattern("stability +not_met");
    for (int probe = 1; probe <= 3; probe++) {
      String name = "results/log-1/probe-%d/stability.json".formatted(probe);
      CommandLineCall number =
          forged(name, t -> t.replaceFirst("(\"ppm_per_hour\" : )[0-9.E-]+", "$10.01"));
      assertThat(number.status()).isEqualTo(BAD_INPUT);
      assertThat(number.notes()).contains(name + "#/drift/ppm_per_hour: stated 0.01");
    }
    CommandLineCall cell =
        forged("tables/log-1/probe-3/verdicts.csv", t -> t.replace("not_met", "met"));
    assertThat(cell.notes()).contains("tables/log-1/probe-3/verdicts.csv row 2, column verdict");
  }

  private static CommandLineCall forged(String name, UnaryOperator<String> change)
      throws Exception {
    Path forged = folder.resolve("forged.zip");
    Files.write(forged, Forgery.of(bundle, key, name, change));
    return CommandLineCall.run("verify", forged);
  }

  @Test
  void theReportShowsEveryProbe() throws IOException {
    try (PDDocument document = Loader.loadPDF(Forgery.entries(bundle).get("report.pdf"))) {
      String text = new PDFTextStripper().getText(document);
      assertThat(text)
          .contains("Stability: turns.csv, probe by probe")
          .contains("Stability: turns.csv, probe 1")
          .contains("Stability: turns.csv, probe 3")
          .contains("probes, each judged by itself: 3");
    }
  }

  /** A reading that nobody answers for would be left out of every judgement in silence. */
  @Test
  void aSampleWithoutItsProbeIsRefusedAndNothingIsWritten() throws IOException {
    Path unnamed =
        Files.writeString(folder.resolve("unnamed.csv"), turns(3, "2026-11-21T18:00:00Z,,0.55\n"));
    Path none = folder.resolve("none.zip");
    CommandLineCall call = evidence(unnamed, none);
    assertThat(call.status()).isEqualTo(BAD_INPUT);
    assertThat(call.notes()).contains("1 samples name none");
    assertThat(none).doesNotExist();
  }

  /** One that never locked has no drift, and keeps nobody from a verdict. */
  @Test
  void aProbeThatNeverLockedIsToldAndDecidesNothing() throws IOException {
    String text = turns(2, "").replaceAll("(?m)^(.*),2,.*$", "$1,2,");
    Path silent = Files.writeString(folder.resolve("silent.csv"), text);
    Path to = folder.resolve("silent.zip");
    CommandLineCall call = evidence(silent, to);
    assertThat(call.status()).as(call.notes()).isEqualTo(ExitStatus.DONE);
    Map<String, byte[]> entries = Forgery.entries(to);
    JsonNode second = JSON.readTree(entries.get("results/log-1/probe-2/stability.json"));
    assertThat(second.at("/limits/0/verdict").asText()).isEqualTo("not_assessed");
    JsonNode limit = JSON.readTree(entries.get("results/conformity.json")).at("/limits/0");
    assertThat(limit.get("verdict").asText()).isEqualTo("met");
    assertThat(CommandLineCall.run("verify", to).status()).isEqualTo(ExitStatus.DONE);
  }
}
