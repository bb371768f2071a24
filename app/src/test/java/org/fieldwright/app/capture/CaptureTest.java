package org.fieldwright.app.capture;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.util.List;
import org.fieldwright.adapters.files.MagnetFile;
import org.fieldwright.adapters.files.ScenarioFile;
import org.fieldwright.adapters.files.SurveyFile;
import org.fieldwright.adapters.journal.Journal;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.reading.Reading;
import org.fieldwright.core.reading.Survey;
import org.fieldwright.core.simulation.Scenario;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/** Whole conversations with a simulated reader; the truth is the scenario's virtual magnet. */
@Timeout(600) // a guard against hanging, not a measurement
class CaptureTest {
  @TempDir Path folder;

  private static Survey survey(CaptureRig rig) {
    return SurveyFile.read(rig.survey(), MagnetFile.read(rig.magnet()));
  }

  private static String enters(int count) {
    return System.lineSeparator().repeat(count);
  }

  /** Every reading against |B| of the sources, at the stated place. */
  private static void holdAgainstTruth(CaptureRig rig, double withinPpm) {
    Scenario scenario = ScenarioFile.load(rig.folder().resolve("scenario.yaml")).scenario();
    for (Reading r : survey(rig).readings()) {
      if (r.field() != null && r.probe() != 9) { // probe 9 has an offset of 0.6 ppm
        Vec3 p = r.position();
        double truth = scenario.with(scenario.installed()).magnitude(p);
        assertThat((r.field() / truth - 1) * 1e6)
            .as("probe %s at %s°", r.probe(), r.angleDeg())
            .isCloseTo(0, within(withinPpm));
      }
    }
  }

  @Test
  void aWholeSurveyWithEverythingGoingWrong() throws IOException {
    try (CaptureRig rig =
        new CaptureRig(
            folder,
            "      wrong_frequencies:\n        - {probe: 11",
            "      wrong_angles: [{angle_deg: 90, error_deg: 1.8}]\n      wrong_frequencies:\n        - {probe: 11",
            "# Loaded",
            "reader: {cut_rate: 0.02, garbled_rate: 0.02}\n# Loaded")) {
      List<String> said =
          rig.converse(
              rig.request(24),
              enters(20) + "what?,undo,retake 90,,,".replace(",", "\n") + enters(5));
      assertThat(said)
          .anyMatch(s -> s.matches("Probe 1 found the field at 23\\.4\\d+ MHz; searching from .*"))
          .anyMatch(s -> s.startsWith("90° (7 of 25, "))
          .anyMatch(
              s ->
                  s.matches("90° looks like 91\\.[789] ± 0\\.\\d\\d°: set it and take it again\\."))
          .anyMatch(s -> s.matches("Repeat 30°: probe 7 reads \\+[34]\\.\\d+ ppm off\\."))
          .contains(
              "Repeat 165°: probe 1 did not lock.", "Repeat 240°: probes 22, 23 did not lock.")
          .anyMatch(s -> s.startsWith("Drift "))
          .anyMatch(s -> s.startsWith("0°, once more (25 of 25, "));
      assertThat(rig.reader().faults()).isGreaterThan(5);
      assertThat(rig.folder().resolve("taken.csv.journal")).doesNotExist();
      Survey survey = survey(rig);
      assertThat(survey.readings()).hasSize(25 * 24);
      assertThat(survey.remarks())
          .containsEntry("reader", "simulated reader")
          .containsEntry("array_calibrated", "2026-03-02")
          .containsKeys("reader_identity", "window_MHz", "serial");
      assertThat(survey.readings().stream().filter(r -> r.angleDeg() == 90)).hasSize(24);
      assertThat(survey.readings().stream().map(Reading::time)).isSorted();
    }
  }

  @Test
  void whatIsWrittenIsTheField() throws IOException {
    try (CaptureRig rig =
        new CaptureRig(
            folder,
            "{probe: 7, angle_deg: 30, ppm: 4.1}",
            "{probe: 7, angle_deg: 30, ppm: 0.1}",
            "{probe: 15, angle_deg: 285, ppm: -11}",
            "{probe: 15, angle_deg: 285, ppm: -0.1}")) {
      rig.converse(rig.request(8), "\n".repeat(9));
      // Field slopes of 2 ppm/mm, 0.05 mm and 0.03° of misplacement, 0.02 ppm of noise.
      holdAgainstTruth(rig, 1);
    }
  }

  @Test
  void theWindowWidensWhereProbesLieOutside() throws IOException {
    try (CaptureRig rig = new CaptureRig(folder)) {
      CaptureRequest narrow =
          new CaptureRequest(
              rig.magnet(),
              rig.profile(),
              rig.survey(),
              CapturePlan.equalAngles(4),
              CapturePlan.Order.LEAST_TWIST,
              10);
      List<String> said = rig.converse(narrow, "\n".repeat(5));
      assertThat(said).anyMatch(s -> s.startsWith("Probes lie outside the window; it is now 23."));
      assertThat(survey(rig).readings()).allMatch(r -> r.field() != null);
    }
  }

  @Test
  void deadProbesInTheMiddleWidenNothing() throws IOException {
    try (CaptureRig rig =
        new CaptureRig(folder, "# Loaded", "reader: {dead_probes: [6, 15]}\n# Loaded")) {
      List<String> said = rig.converse(rig.request(4), "\n".repeat(5));
      assertThat(said)
          .noneMatch(s -> s.startsWith("Probes lie outside"))
          .contains("Repeat 0°: probes 6, 15 did not lock.");
      // ± 1.5 · 300 ppm of 23.42 MHz about it: 0.0211 MHz wide.
      String[] window = survey(rig).remarks().get("window_MHz").split(" ", -1);
      assertThat(Double.parseDouble(window[1]) - Double.parseDouble(window[0]))
          .isCloseTo(2 * 1.5 * 300e-6 * 23.42, within(1e-5));
    }
  }

  /** One question for the whole array: its answer is kept whole or not at all. */
  @Test
  void anAnswerForAllProbesIsOneRecord() throws IOException {
    try (CaptureRig rig = new CaptureRig(folder)) {
      rig.askForAllProbesAtOnce();
      rig.converse(rig.request(4), "\n".repeat(3) + "stop\n");
      try (Journal journal = Journal.open(rig.folder().resolve("taken.csv.journal"))) {
        // A list of 24 for each angle; the probe beyond the window is read again by itself.
        assertThat(journal.found().stream().filter(r -> r[0] == '[').count()).isEqualTo(3);
      }
      rig.converse(rig.request(4), "\n".repeat(2));
      assertThat(survey(rig).readings()).hasSize(5 * 24);
      assertThat(survey(rig).readings().stream().map(Reading::time))
          .isSorted()
          .doesNotHaveDuplicates();
    }
  }

  @Test
  void goesOnWhereItStopped() throws IOException {
    try (CaptureRig rig = new CaptureRig(folder)) {
      rig.converse(rig.request(4), "\n\nstop\n");
      assertThat(rig.survey()).doesNotExist();
      assertThatThrownBy(() -> rig.converse(rig.request(5), "\n"))
          .isInstanceOf(BadInput.class)
          .hasMessageContaining("begun with another magnet file or other angles");
      assertThatThrownBy(() -> rig.converse(rig.request(4), "\n"))
          .isInstanceOf(BadInput.class)
          .hasMessageContaining("found its end before angle 4 of 5");
      List<String> said = rig.converse(rig.request(4), "\nundo\nretake 90\n\nretake 45\n\n\n");
      assertThat(said)
          .anyMatch(s -> s.startsWith("Going on after 3 of 5"))
          .contains("retake: 45° was not taken yet");
      assertThat(survey(rig).readings())
          .extracting(Reading::angleDeg)
          .containsOnly(0.0, 90.0, 180.0, 270.0)
          .hasSize(5 * 24);
      assertThatThrownBy(() -> rig.converse(rig.request(4), "\n"))
          .isInstanceOf(BadInput.class)
          .hasMessageContaining("expected the name of a new one");
    }
  }

  @Test
  void aReaderThatGoesAwayIsToldAndNothingIsLost() throws IOException {
    try (CaptureRig rig = new CaptureRig(folder)) {
      String profile = Files.readString(rig.profile());
      Files.writeString(rig.profile(), profile.replace("reconnect_s: 60", "reconnect_s: 0.1"));
      Capture capture = Capture.open(rig.request(4), Clock.systemUTC(), s -> {});
      try (capture) {
        capture.take();
        rig.reader().close();
        assertThatThrownBy(capture::take)
            .isInstanceOf(IOException.class)
            .hasMessageContaining("does not come back");
        assertThat(capture.next().angleDeg()).isEqualTo(90);
      }
      assertThat(Files.size(rig.folder().resolve("taken.csv.journal"))).isGreaterThan(24 * 60);
    }
  }

  @Test
  void aLapsedCalibrationWarns() throws IOException {
    try (CaptureRig rig = new CaptureRig(folder)) {
      Files.writeString(
          rig.profile(),
          Files.readString(rig.profile())
              + "calibrated: 2020-01-31\ncalibration_interval_months: 12\n");
      assertThat(rig.converse(rig.request(4), "stop\n"))
          .contains(
              "The calibration of the reader \"simulated reader\" of 2020-01-31 lapsed on 2021-01-31.");
    }
  }
}
