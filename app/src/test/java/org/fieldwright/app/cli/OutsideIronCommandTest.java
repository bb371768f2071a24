package org.fieldwright.app.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.networknt.schema.InputFormat;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.SpecificationVersion;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.util.List;
import java.util.Objects;
import org.fieldwright.app.assess.AssessService;
import org.fieldwright.app.outside.OutsideAnswer;
import org.fieldwright.app.outside.OutsideJson;
import org.fieldwright.app.outside.OutsideService;
import org.fieldwright.core.Progress;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A tool left beside the magnet of the demonstration between two surveys. */
class OutsideIronCommandTest {
  /** 25 A·m² at 2.1 T and 7870 kg/m³. */
  private static final double GRAMS = 1e3 * 25 * 4e-7 * Math.PI / 2.1 * 7870;

  private static final double[] AT_MM = {450, -320, 380};

  @TempDir private static Path folder;
  private static Path magnet;
  private static Path before;
  private static Path after;

  @BeforeAll
  static void survey() throws IOException {
    before = taken("before.csv", s -> s);
    after = taken("after.csv", OutsideIronCommandTest::withTool);
    magnet = folder.resolve("before.csv.d").resolve("magnet.yaml");
  }

  private static String withTool(String scenario) {
    return scenario.replace(
        "stray_iron:\n",
        "stray_iron:\n  - {id: tool, at_mm: [450, -320, 380], moment_A_m2: [0, 0, 25]}\n");
  }

  /** A survey of the demonstration's magnet after a change of its scenario. */
  private static Path taken(String file, java.util.function.UnaryOperator<String> change)
      throws IOException {
    Path own = Files.createDirectories(folder.resolve(file + ".d"));
    for (String name : List.of("magnet.yaml", "installed.csv")) {
      Files.writeString(own.resolve(name), resource(name));
    }
    String text = resource("scenario.yaml").replace("survey-1.csv", file);
    Files.writeString(
        own.resolve("scenario.yaml"),
        change.apply(text.substring(0, text.indexOf("# Loaded iron"))));
    CommandLineCall call =
        CommandLineCall.run(
            "simulate", "--scenario", own.resolve("scenario.yaml"), "--out", own.resolve("out"));
    assertThat(call.status()).as(call.notes()).isEqualTo(ExitStatus.DONE);
    return own.resolve("out").resolve(file);
  }

  private static String resource(String name) throws IOException {
    try (InputStream in =
        Objects.requireNonNull(OutsideIronCommandTest.class.getResourceAsStream("/demo/" + name))) {
      return new String(in.readAllBytes(), StandardCharsets.UTF_8);
    }
  }

  private static JsonNode answer(Object... words) throws IOException {
    CommandLineCall call = CommandLineCall.run(words);
    assertThat(call.status()).as(call.notes()).isEqualTo(ExitStatus.DONE);
    String schema = Files.readString(Path.of("..", "docs", "schemas", "outside-iron.schema.json"));
    assertThat(
            SchemaRegistry.withDefaultDialect(SpecificationVersion.DRAFT_2020_12)
                .getSchema(schema)
                .validate(call.answer(), InputFormat.JSON))
        .isEmpty();
    return new ObjectMapper().readTree(call.answer());
  }

  private static void isTheTool(JsonNode answer) {
    assertThat(answer.get("verdict").asText()).isEqualTo("located");
    assertThat(answer.get("sources")).hasSize(1);
    JsonNode source = answer.at("/sources/0");
    for (int i = 0; i < 3; i++) {
      double u = source.at("/uncertainty_mm/" + i).asDouble();
      assertThat(source.at("/at_mm/" + i).asDouble()).isCloseTo(AT_MM[i], within(3.5 * u));
    }
    double u = source.get("iron_uncertainty_g").asDouble();
    assertThat(source.get("iron_g").asDouble()).isCloseTo(GRAMS, within(3.5 * u));
    assertThat(source.get("along_field").asBoolean()).isTrue();
  }

  @Test
  void theToolIsFoundInTheDifference() throws IOException {
    JsonNode answer =
        answer(
            "outside-iron", after, "--since", before, "--magnet", magnet, "--degree", 2, "--json");
    assertThat(answer.get("basis").asText()).isEqualTo("difference");
    assertThat(answer.at("/bore/radius_mm").asDouble()).isPositive();
    isTheTool(answer);
  }

  /**
   * Readings stated far better than they are leave something unexplained, upon which the search
   * begins anew; stopped before, it has to tell of what it had.
   */
  @Test
  void stoppedTheSearchTellsOfTheToolItHadFound() throws IOException {
    Path proud = magnet.resolveSibling("proud.yaml");
    Files.writeString(
        proud, Files.readString(magnet).replace("reading_ppm: 0.02", "reading_ppm: 0.0001"));
    Progress untilTheSecond =
        new Progress() {
          private boolean stop;

          @Override
          public void report(String stage, double fraction, double bestSoFar) {
            stop |= stage.contains("for 2");
          }

          @Override
          public boolean shouldStop() {
            return stop;
          }
        };
    OutsideAnswer answer =
        new OutsideService(new AssessService(Clock.systemUTC()))
            .look(after, before, proud, 2, untilTheSecond);
    assertThat(answer.stopped()).isTrue();
    assertThat(answer.warnings()).anyMatch(w -> w.contains("The search was stopped"));
    isTheTool(OutsideJson.of(answer));
  }

  /** Taken at other angles, only a third of the places are the same. */
  @Test
  void theToolIsFoundWhereThePlacesDiffer() throws IOException {
    Path other =
        taken(
            "other.csv",
            s ->
                withTool(s.substring(0, s.indexOf("    faults:")))
                    .replaceFirst("angles: 24", "angles: 32"));
    JsonNode answer =
        answer(
            "outside-iron", other, "--since", before, "--magnet", magnet, "--degree", 2, "--json");
    assertThat(answer.get("basis").asText()).isEqualTo("both_together");
    isTheTool(answer);
  }

  @Test
  void onePersonReadsItInPlainWords() {
    CommandLineCall call =
        CommandLineCall.run(
            "outside-iron", before, "--since", after, "--magnet", magnet, "--degree", 2);
    assertThat(call.status()).as(call.notes()).isEqualTo(ExitStatus.DONE);
    assertThat(call.answer())
        .contains("One piece outside disturbs the field.")
        .contains("g of iron at x 45")
        .contains("a piece that is gone")
        .contains("twice the log odds")
        .contains("Next: look there");
  }

  @Test
  void surveysOfDifferentFieldsAreRefused() throws IOException {
    Path other = taken("ramped.csv", s -> s.replace("0.55008", "0.5511"));
    CommandLineCall call =
        CommandLineCall.run("outside-iron", other, "--since", before, "--magnet", magnet);
    assertThat(call.status()).isEqualTo(ExitStatus.BAD_INPUT);
    assertThat(call.notes()).contains("ramped.csv").contains("one magnet at one field");
  }

  @Test
  void tooFewReadingsAreRefused() throws IOException {
    List<String> lines = Files.readAllLines(before);
    int header = 0;
    while (lines.get(header).startsWith("#")) {
      header++;
    }
    Path few = folder.resolve("few.csv");
    Files.write(few, lines.subList(0, header + 13));
    CommandLineCall call = CommandLineCall.run("outside-iron", few, "--magnet", magnet);
    assertThat(call.status()).isEqualTo(ExitStatus.BAD_INPUT);
    assertThat(call.notes()).contains("too few to look for something outside");
  }
}
