package org.fieldwright.adapters.files;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import com.networknt.schema.InputFormat;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.Objects;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.magnetostatics.Constants;
import org.fieldwright.core.magnetostatics.CurrentLoop;
import org.fieldwright.core.magnetostatics.PointDipole;
import org.fieldwright.core.reading.Reading;
import org.fieldwright.core.reading.Survey;
import org.fieldwright.core.simulation.Fault;
import org.fieldwright.core.simulation.Scenario;
import org.fieldwright.core.simulation.SurveyConditions;
import org.fieldwright.core.stability.FieldLog;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class ScenarioFileTest {
  private static final String MAGNET =
      """
      magnet: {name: test, field_T: 0.55}
      array: {radius_mm: 200, probes: {kind: gauss_legendre, count: 6}}
      iron:
        pockets: {trays: 4, radius_mm: 370, z_mm: [-100, 100]}
        pieces: [{id: thin, volume_mm3: 200, polarisation_T: 2.1, density_g_cm3: 7.85}]
        capacity_pieces: 50
      """;

  private static final String SCENARIO =
      """
      fieldwright: 1
      scenario: a test
      seed: 7
      magnet: magnet.yaml
      centre_field_T: 0.551
      loops:
        - {radius_mm: 700, centre_mm: [0, 0, 350], ampere_turns: 100}
        - {radius_mm: 700, centre_mm: [1, 2, -350], axis: [0, 0.6, 0.8], ampere_turns: 50}
      stray_iron:
        - {id: beam, at_mm: [0, 900, 0], moment_A_m2: [0, 10, 100]}
      iron_strength: {thin: 0.97}
      surveys:
        - file: one.csv
          start: 2026-03-10T08:05:00+01:00
          angles: [0, 90, 180, 270]
          revisit_deg: [90]
          averages: 4
          noise_ppm: 0.05
          faults:
            no_lock: [{probe: 2, angle_deg: 90}]
            wrong_angles: [{angle_deg: 180, error_deg: 1.5}]
      logs:
        - {file: log.csv, start: 2026-03-10T10:00:00Z, hours: 1, interval_s: 60,
           room: {mean_C: 21, swing_K: 1, ppm_per_K: 0.1}, noise_ppm: 0.01}
      """;

  @TempDir private Path folder = Path.of("");

  @BeforeEach
  void magnet() throws IOException {
    Files.writeString(folder.resolve("magnet.yaml"), MAGNET);
  }

  private Scenario load(String yaml) throws IOException {
    Path path = Files.writeString(folder.resolve("scenario.yaml"), yaml);
    return ScenarioFile.load(path).scenario();
  }

  @Test
  void readsEverySection() throws IOException {
    Scenario scenario = load(SCENARIO);
    assertThat(scenario.seed()).isEqualTo(7);
    assertThat(scenario.bare().magnitude(Vec3.ZERO)).isCloseTo(0.551, within(1e-15));
    CurrentLoop first = (CurrentLoop) scenario.bare().sources().get(0);
    CurrentLoop second = (CurrentLoop) scenario.bare().sources().get(1);
    assertThat(second.current() / first.current()).isCloseTo(0.5, within(1e-15));
    assertThat(second.centre()).isEqualTo(new Vec3(1, 2, -350).times(1e-3));
    assertThat(second.axis().minus(new Vec3(0, 0.6, 0.8)).norm()).isLessThan(1e-15);
    PointDipole beam = (PointDipole) scenario.bare().sources().get(2);
    assertThat(beam.moment()).isEqualTo(new Vec3(0, 10, 100).times(Constants.MU_0));
    assertThat(scenario.trueStrength()).containsEntry("thin", 0.97);
    SurveyConditions survey = scenario.surveys().get(0).conditions();
    assertThat(survey.start()).isEqualTo(Instant.parse("2026-03-10T07:05:00Z"));
    assertThat(survey.anglesDeg()).containsExactly(0.0, 90.0, 180.0, 270.0);
    assertThat(survey.faults())
        .containsExactly(new Fault.NoLock(2, 90), new Fault.WrongAngle(180, 1.5));
    assertThat(scenario.next()).isNull();
    assertThat(scenario.logs()).hasSize(1);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      textBlock =
          """
          seed: 7              | seed: seven                | 3:7: seed: found
          loops:               | lops:                      | unknown key
          magnet: magnet.yaml  | magnet: ../magnet.yaml     | expected the name of a file in the folder
          angles: [0, 90,      | angles: [0, 91,            | expected one of the angles that are visited
          probe: 2, angle      | probe: 99, angle           | expected the id of a probe of the magnet file
          08:05:00+01:00       | 08:05:00                   | ISO 8601
          file: one.csv        | file: ../one.csv           | expected a plain file name
          file: log.csv        | file: one.csv              | the file one.csv twice
          radius_mm: 700, c    | radius_mm: -700, c         | expected a number above 0
          {thin: 0.97}         | {thn: 0.97}                | unknown key
          hours: 1,            | hours: 1e9,                | at most 2,000,000 samples
          noise_ppm: 0.05      | noise_ppm: -0.05           | expected a number of at least 0
          """)
  void refusesWithPlaceAndRemedy(String right, String wrong, String message) throws IOException {
    assertThat(SCENARIO).contains(right);
    String broken = SCENARIO.replace(right, wrong);
    assertThatThrownBy(() -> load(broken))
        .isInstanceOf(BadInput.class)
        .hasMessageContaining("scenario.yaml:")
        .hasMessageContaining(message);
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "seed: 7 -> seed: seven",
        "loops: -> lops:",
        "file: one.csv -> file: ../one.csv",
        "radius_mm: 700, c -> radius_mm: -700, c",
        "noise_ppm: 0.05 -> noise_ppm: -0.05",
        "{probe: 2, angle_deg: 90} -> {probe: 2}",
        "ampere_turns: 50 -> ampere_turns: many",
        "hours: 1, -> hours: 0,"
      })
  void publishedSchemaAndReaderRefuseTheSame(String change) {
    assertThat(SchemasTest.errors("scenario", SCENARIO, InputFormat.YAML)).isEmpty();
    String[] parts = change.split(" -> ", -1);
    assertThat(SCENARIO).contains(parts[0]);
    String broken = SCENARIO.replace(parts[0], parts[1]);
    assertThat(SchemasTest.errors("scenario", broken, InputFormat.YAML)).isNotEmpty();
    assertThatThrownBy(() -> load(broken)).isInstanceOf(BadInput.class);
  }

  /** Frequencies are written to 0.01 Hz of 23 MHz, and half of that is lost: 2e-10. */
  @Test
  void writtenSurveyReadsBack() throws IOException {
    Scenario scenario = load(SCENARIO);
    Survey taken = scenario.take(scenario.surveys().get(0), scenario.installed());
    Path file = folder.resolve("one.csv");
    Files.write(file, SurveyWriter.write(taken, scenario.magnet().array().gammaMHzPerT()));
    Survey read = SurveyFile.read(file, scenario.magnet());
    assertThat(read.remarks()).isEqualTo(taken.remarks());
    assertThat(read.readings()).hasSize(taken.readings().size());
    for (int i = 0; i < read.readings().size(); i++) {
      Reading got = read.readings().get(i);
      Reading put = taken.readings().get(i);
      assertThat(got.row()).isEqualTo(put.row());
      assertThat(got.probe()).isEqualTo(put.probe());
      assertThat(got.angleDeg()).isEqualTo(put.angleDeg());
      assertThat(got.time()).isEqualTo(put.time());
      assertThat(got.locked()).isEqualTo(put.locked());
      assertThat(got.position().minus(put.position()).norm()).isLessThan(1e-15);
      if (put.field() == null) {
        assertThat(got.field()).isNull();
      } else {
        assertThat(Objects.requireNonNull(got.field()) / put.field() - 1)
            .isCloseTo(0, within(3e-10));
        assertThat(Objects.requireNonNull(got.sd()))
            .isCloseTo(Objects.requireNonNull(put.sd()), within(1e-10));
      }
    }
  }

  @Test
  void writtenLogHasARowForEverySample() throws IOException {
    Scenario scenario = load(SCENARIO);
    FieldLog log = scenario.take(scenario.logs().get(0));
    double gamma = scenario.magnet().array().gammaMHzPerT();
    String[] lines =
        new String(FieldLogWriter.write(log, gamma), java.nio.charset.StandardCharsets.UTF_8)
            .split("\n");
    assertThat(lines).hasSize(62);
    assertThat(lines[0]).isEqualTo("time,frequency_MHz,temperature_C");
    assertThat(lines[61]).startsWith("2026-03-10T11:00:00Z,23.4").endsWith(",21.26");
  }
}
