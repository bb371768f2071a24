package org.fieldwright.app.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

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
import java.time.Instant;
import java.util.Random;
import java.util.function.DoubleUnaryOperator;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** {@code watch} from the file to the answer. */
class WatchCommandTest {
  private static final String MAGNET =
      """
      fieldwright: 1
      magnet: {name: Kestrel Ridge, serial: KR-055-07, field_T: 0.55}
      limits:
        - {id: stability, measure: drift, limit_ppm_per_hour: 0.1}
      """;

  private static final Instant START = Instant.parse("2026-11-20T18:00:00Z");
  private static final double GAMMA_MHZ = 42.57638543; // CODATA 2022, shielded proton

  private final ByteArrayOutputStream out = new ByteArrayOutputStream();
  private final ByteArrayOutputStream err = new ByteArrayOutputStream();
  private final Random random = new Random(5);
  @TempDir private Path folder;
  private String magnet = "";

  @BeforeEach
  void magnetFile() throws IOException {
    magnet = Files.writeString(folder.resolve("m.yaml"), MAGNET).toString();
  }

  /** Frequencies in MHz to 0.1 mHz, one a minute, about 0.55 T. */
  private String log(
      int samples, DoubleUnaryOperator ppm, String extraHeader, DoubleUnaryOperator extra)
      throws IOException {
    StringBuilder csv = new StringBuilder("time,frequency_MHz" + extraHeader + "\n");
    for (int i = 0; i < samples; i++) {
      double t = 60.0 * i;
      double frequency = GAMMA_MHZ * 0.55 * (1 + 1e-6 * ppm.applyAsDouble(t));
      csv.append(START.plusSeconds(60L * i)).append(',');
      csv.append(Double.isNaN(frequency) ? "" : String.format("%.10f", frequency));
      csv.append(extraHeader.isEmpty() ? "\n" : String.format(",%.4f%n", extra.applyAsDouble(t)));
    }
    return Files.writeString(folder.resolve("log.csv"), csv).toString();
  }

  private String log(int samples, DoubleUnaryOperator ppm) throws IOException {
    return log(samples, ppm, "", t -> 0);
  }

  private int run(String... words) {
    out.reset();
    err.reset();
    return Main.run(new Output(out, err), words);
  }

  private JsonNode answer() throws IOException {
    String text = out.toString(StandardCharsets.UTF_8);
    String schema = Files.readString(Path.of("..", "docs", "schemas", "watch.schema.json"));
    assertThat(
            SchemaRegistry.withDefaultDialect(SpecificationVersion.DRAFT_2020_12)
                .getSchema(schema)
                .validate(text, InputFormat.JSON))
        .isEmpty();
    return new ObjectMapper().readTree(text);
  }

  private double noise() {
    return 0.02 * random.nextGaussian();
  }

  @Test
  void aDriftWithinItsLimitIsMet() throws IOException {
    String log = log(1440, t -> 12 + 0.05 * t / 3600 + noise());
    assertThat(run("watch", log, "--magnet", magnet, "--json", "--gate"))
        .isEqualTo(ExitStatus.DONE);
    JsonNode answer = answer();
    assertThat(answer.at("/log/samples").asInt()).isEqualTo(1440);
    assertThat(answer.at("/log/reference_field_T").asDouble()).isEqualTo(0.55);
    assertThat(answer.at("/log/start").asText()).isEqualTo("2026-11-20T18:00:00Z");
    assertThat(answer.at("/drift/ppm_per_hour").asDouble()).isCloseTo(0.05, within(5e-4));
    assertThat(answer.at("/trend/form").asText()).isEqualTo("linear");
    assertThat(answer.at("/limits/0/verdict").asText()).isEqualTo("met");
    assertThat(answer.at("/limits/0/in_limit_from").asText()).isEqualTo("2026-11-20T18:00:00Z");
    assertThat(answer.at("/deviations/rows")).isNotEmpty();
    assertThat(answer.at("/inputs")).hasSize(2);
  }

  @Test
  void theGateTellsALimitThatIsNotMet() throws IOException {
    String log = log(1440, t -> -0.2 * t / 3600 + noise());
    assertThat(run("watch", log, "--magnet", magnet, "--gate")).isEqualTo(ExitStatus.LIMIT_NOT_MET);
    assertThat(out.toString(StandardCharsets.UTF_8))
        .contains("NOT MET")
        .contains("limit 0.1 ppm/h");
    assertThat(run("watch", log, "--magnet", magnet)).isEqualTo(ExitStatus.DONE);
  }

  @Test
  void aSettlingMagnetIsToldWhenItWillDo() throws IOException {
    String log = log(1440, t -> 9 * Math.exp(-t / 72_000) + noise());
    assertThat(run("watch", log, "--magnet", magnet, "--json")).isEqualTo(ExitStatus.DONE);
    JsonNode answer = answer();
    assertThat(answer.at("/trend/form").asText()).isEqualTo("exponential");
    // 0.45 ppm/h falls to 0.1 after 20 ln 4.5 h = 30.1 h.
    Instant from = Instant.parse(answer.at("/limits/0/in_limit_from").asText());
    assertThat(from).isBetween(START.plusSeconds(108_000), START.plusSeconds(110_500));
    run("watch", log, "--magnet", magnet);
    assertThat(out.toString(StandardCharsets.UTF_8)).contains("in limit from 2026-11-2");
  }

  @Test
  void everyPartOfTheDocumentIsValid() throws IOException {
    String log =
        log(
            2000,
            t ->
                t > 60_000 && t < 60_400
                    ? Double.NaN
                    : 0.02 * t / 3600 + 0.1 * room(t) + (t > 90_000 ? 0.5 : 0) + noise(),
            ",temperature_C",
            t -> 21 + room(t));
    assertThat(run("watch", log, "--json")).isEqualTo(ExitStatus.DONE);
    JsonNode answer = answer();
    assertThat(answer.at("/surroundings/0/ppm_per_K").asDouble()).isCloseTo(0.1, within(0.01));
    assertThat(answer.at("/events").findValuesAsText("kind")).containsExactly("lost_lock", "step");
    assertThat(answer.at("/limits")).isEmpty();
    run("watch", log);
    assertThat(out.toString(StandardCharsets.UTF_8))
        .contains("No limit on drift is stated")
        .contains("Follows   the temperature")
        .contains("lost lock");
  }

  private static double room(double t) {
    return 1.5 * Math.sin(t / 9000) + 0.7 * Math.cos(t / 4000);
  }

  @Test
  void aRampIsFollowed() throws IOException {
    String log =
        log(
            600,
            t -> ((400 + t / 360) / 500 - 1) * 1e6 + noise(),
            ",current_A",
            t -> 400 + t / 360);
    assertThat(run("watch", log, "--magnet", magnet, "--json")).isEqualTo(ExitStatus.DONE);
    JsonNode answer = answer();
    assertThat(answer.at("/ramp/settled").asBoolean()).isFalse();
    assertThat(answer.at("/ramp/field_T_per_A").asDouble()).isCloseTo(0.0011, within(1e-8));
    assertThat(answer.at("/ramp/hours_to_target").asDouble()).isCloseTo(0.0167, within(0.01));
    assertThat(answer.at("/drift").isNull()).isTrue();
    assertThat(answer.at("/limits/0/verdict").asText()).isEqualTo("not_assessed");
  }

  /** Each is answered with one message that names the place, nothing on standard output, exit 2. */
  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "time,field_T;2026-01-01T00:00:00Z,0.55;2026-01-01T00:00:00Z,0.55 | twice",
        "time,field_T;2026-01-01T00:00:10Z,0.55;2026-01-01T00:00:00Z,0.55 | order of time",
        "time,field_T;2026-03-29T02:30:00,0.55;2026-03-29T02:31:00,0.55 | offset",
        "time,field_T,frequency_MHz;2026-01-01T00:00:00Z,0.55,23.4 | field",
        "time,field_T;2026-01-01T00:00:00Z,word | word",
        "time;2026-01-01T00:00:00Z | value",
        "field_T;0.55 | time",
        "time,field_T | sample",
        "time,field_mT;2026-01-01T00:00:00Z,550;2026-01-01T00:01:00Z,0.55 | unit",
        "time,field_T;2026-01-01T00:00:00Z,;2026-01-01T00:01:00Z, | no positive field"
      })
  void badLogsAreRefused(String text, String expected) throws IOException {
    Path log = Files.writeString(folder.resolve("bad.csv"), text.strip().replace(';', '\n') + "\n");
    assertThat(run("watch", log.toString(), "--json")).isEqualTo(ExitStatus.BAD_INPUT);
    assertThat(out.size()).isZero();
    assertThat(err.toString(StandardCharsets.UTF_8)).contains(expected).doesNotContain("\tat ");
  }
}
