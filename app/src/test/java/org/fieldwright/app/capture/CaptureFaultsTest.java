package org.fieldwright.app.capture;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.fieldwright.adapters.files.MagnetFile;
import org.fieldwright.adapters.files.ScenarioFile;
import org.fieldwright.adapters.files.SurveyFile;
import org.fieldwright.core.reading.Reading;
import org.fieldwright.core.simulation.Scenario;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/**
 * Surveys over a connection that is cut, garbled and late at every fifth answer: nothing is lost,
 * nothing doubled, nothing wrong taken for a reading. The truth is the virtual magnet.
 */
@Timeout(1800) // a guard against hanging, not a measurement
class CaptureFaultsTest {
  private static final int ANGLES = 4;
  private static final int PROBES = 24;

  @TempDir Path folder;

  @Test
  void aHundredFaults() throws Exception {
    survive(100);
  }

  /** As many as the issue asks for. */
  @Test
  @Tag("slow")
  void aThousandFaults() throws Exception {
    survive(1000);
  }

  private void survive(int faults) throws Exception {
    try (CaptureRig rig =
        new CaptureRig(
            folder,
            "drift_ppm_per_hour: 0.08",
            "drift_ppm_per_hour: 0",
            "# Loaded",
            "reader: {cut_rate: 0.08, garbled_rate: 0.08, late_rate: 0.04, late_s: 0.3}\n"
                + "# Loaded")) {
      Files.writeString(
          rig.profile(),
          Files.readString(rig.profile()).replace("timeout_s: 30", "timeout_s: 0.2"));
      Scenario scenario = ScenarioFile.load(rig.folder().resolve("scenario.yaml")).scenario();
      while (rig.reader().faults() < faults) {
        rig.converse(rig.request(ANGLES), "\n".repeat(20));
        holds(SurveyFile.read(rig.survey(), MagnetFile.read(rig.magnet())).readings(), scenario);
        Files.delete(rig.survey());
      }
    }
  }

  private static void holds(List<Reading> readings, Scenario scenario) {
    assertThat(readings).hasSize((ANGLES + 1) * PROBES);
    Map<String, Integer> times = new HashMap<>();
    for (Reading r : readings) {
      times.merge(r.probe() + " at " + r.angleDeg(), 1, Integer::sum);
      if (r.field() != null && r.probe() != 9) { // probe 9 has an offset of 0.6 ppm
        double truth = scenario.with(scenario.installed()).magnitude(r.position());
        // Field slopes of 2 ppm/mm, 0.05 mm and 0.03° of misplacement, 0.02 ppm of noise.
        assertThat((r.field() / truth - 1) * 1e6).isCloseTo(0, within(1.0));
      }
    }
    assertThat(times).hasSize(ANGLES * PROBES);
    times.forEach((key, n) -> assertThat(n).as(key).isEqualTo(key.endsWith(" at 0.0") ? 2 : 1));
  }
}
