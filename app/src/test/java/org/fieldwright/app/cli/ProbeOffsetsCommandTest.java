package org.fieldwright.app.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.networknt.schema.InputFormat;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.SpecificationVersion;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.Locale;
import java.util.SplittableRandom;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The offset check from a file of readings to a magnet file brought up to date. */
class ProbeOffsetsCommandTest {
  /** Every way to write a probe, an é and a clef before them, and ends of lines of both kinds. */
  private static final String MAGNET =
      """
      # Zweigstelle Café \uD834\uDD1E: what is believed
      fieldwright: 1
      magnet: {field_T: 0.55}   # tesla
      array:
        radius_mm: 200
        uncertainty: {reading_ppm: 0.02}
        probes:
          - {id: 1, polar_deg: 20, offset_ppm: 0.05}   # old
          - {id: 2, polar_deg: 60}   # never checked
          - id: 3
            polar_deg: 100     # a block
          - polar_deg: 120
            id: 4
            offset_ppm:
          - { "id": 5 , polar_deg: 140 , "offset_ppm" : -0.05 }
      # the end, without a newline""";

  private static final double[] TRUTH = {0.10, -0.20, 0.05, 0.30, -0.25};

  @TempDir private Path folder;
  private Path magnet = Path.of("");
  private Path readings = Path.of("");

  @BeforeEach
  void write() throws IOException {
    magnet = Files.writeString(folder.resolve("magnet.yaml"), MAGNET);
    SplittableRandom random = new SplittableRandom(5);
    StringBuilder csv = new StringBuilder("time,probe,frequency_Hz\n");
    Instant start = Instant.parse("2026-03-10T08:00:00Z");
    for (int visit = 0; visit < 16; visit++) {
      int k = visit % 5;
      for (int sample = 0; sample < 4; sample++) {
        double ppm = TRUTH[k] + 0.4 * visit / 60.0 + 0.01 * random.nextGaussian();
        csv.append(
            String.format(
                Locale.ROOT,
                "%s,%d,%.3f%n",
                start.plusSeconds(60L * visit + 5L * sample),
                k + 1,
                23_417_000 * (1 + ppm * 1e-6)));
      }
    }
    readings = Files.writeString(folder.resolve("offsets.csv"), csv);
  }

  private JsonNode answer(CommandLineCall call) throws IOException {
    assertThat(call.status()).as(call.notes()).isEqualTo(ExitStatus.DONE);
    String schema = Files.readString(Path.of("..", "docs", "schemas", "probe-offsets.schema.json"));
    assertThat(
            SchemaRegistry.withDefaultDialect(SpecificationVersion.DRAFT_2020_12)
                .getSchema(schema)
                .validate(call.answer(), InputFormat.JSON))
        .isEmpty();
    return new ObjectMapper().readTree(call.answer());
  }

  @Test
  void offsetsAreFoundAndNothingIsWrittenUnasked() throws IOException {
    JsonNode a =
        answer(CommandLineCall.run("probe-offsets", readings, "--magnet", magnet, "--json"));
    for (int k = 0; k < 5; k++) {
      JsonNode probe = a.get("probes").get(k);
      assertThat(probe.get("offset_ppm").asDouble())
          .isCloseTo(TRUTH[k], within(4 * probe.get("uncertainty_ppm").asDouble()));
      assertThat(probe.get("uncertainty_ppm").asDouble()).isLessThan(0.02);
    }
    assertThat(a.at("/drift/ppm_per_hour").asDouble()).isCloseTo(0.4, within(0.1));
    assertThat(a.get("written").asBoolean()).isFalse();
    assertThat(Files.readString(magnet)).isEqualTo(MAGNET);
  }

  /** Only the numbers change; taking them away again gives the old file. */
  @Test
  void onlyTheOffsetsAreWritten() throws IOException {
    for (String lineEnd : new String[] {"\n", "\r\n"}) {
      String before = MAGNET.replace("\n", lineEnd);
      Files.writeString(magnet, before);
      JsonNode a =
          answer(
              CommandLineCall.run(
                  "probe-offsets", readings, "--magnet", magnet, "--write", "--json"));
      String after = Files.readString(magnet);
      String number = "-?[0-9.]+";
      String undone =
          after
              .replaceFirst("offset_ppm: " + number + "}   # old", "offset_ppm: 0.05}   # old")
              .replaceFirst(", offset_ppm: " + number + "}   # never", "}   # never")
              .replaceFirst("# a block" + lineEnd + "      offset_ppm: " + number, "# a block")
              .replaceFirst(
                  "offset_ppm: " + number + lineEnd + "    - \\{ \"id\"",
                  "offset_ppm:" + lineEnd + "    - { \"id\"")
              .replaceFirst("\"offset_ppm\" : " + number + " }", "\"offset_ppm\" : -0.05 }");
      assertThat(undone).isEqualTo(before);
      JsonNode again =
          answer(CommandLineCall.run("probe-offsets", readings, "--magnet", magnet, "--json"));
      for (int k = 0; k < 5; k++) {
        double written = a.get("probes").get(k).get("offset_ppm").asDouble();
        assertThat(again.get("probes").get(k).get("stated_ppm").asDouble())
            .isCloseTo(written, within(1e-4));
        assertThat(again.get("probes").get(k).get("changed").asBoolean()).isFalse();
      }
    }
    try (var files = Files.list(folder)) {
      assertThat(files).hasSize(2);
    }
  }

  @Test
  void aRuleHasNoPlaceForOffsetsAndTheListIsGiven() throws IOException {
    String rule =
        "magnet: {field_T: 0.55}\narray:\n  radius_mm: 200\n  probes: {kind: gauss_legendre, count: 5}\n";
    Files.writeString(magnet, rule);
    CommandLineCall call =
        CommandLineCall.run("probe-offsets", readings, "--magnet", magnet, "--write");
    assertThat(call.status()).isEqualTo(ExitStatus.BAD_INPUT);
    assertThat(call.notes()).contains("magnet.yaml:4:11", "{id: 5, polar_deg: 154.982660");
    assertThat(Files.readString(magnet)).isEqualTo(rule);
  }

  @Test
  void theTextSaysWhatToDo() {
    CommandLineCall call = CommandLineCall.run("probe-offsets", readings, "--magnet", magnet);
    assertThat(call.answer()).contains("changed", "steady", "--write puts these");
  }
}
