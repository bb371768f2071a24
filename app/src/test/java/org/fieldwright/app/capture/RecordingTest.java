package org.fieldwright.app.capture;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.time.Clock;
import java.util.ArrayList;
import java.util.List;
import org.fieldwright.adapters.files.FieldLogFile;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.stability.FieldLog;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/** Recordings of a simulated reader; the truth is its scenario. */
@Timeout(600) // a guard against hanging, not a measurement
class RecordingTest {
  private static final double GAMMA = 42.57638543; // shielded proton, CODATA 2022, MHz/T

  @TempDir Path folder;

  private static RecordRequest request(
      CaptureRig rig, @Nullable Integer probe, @Nullable Path current, double alarmPpm) {
    return new RecordRequest(
        rig.magnet(),
        rig.profile(),
        rig.folder().resolve("log.csv"),
        probe,
        current,
        0,
        300,
        alarmPpm,
        current == null ? null : 23.5,
        8);
  }

  private static FieldLog log(CaptureRig rig) {
    return FieldLogFile.read(rig.folder().resolve("log.csv"), GAMMA);
  }

  /** 7,200 ppm/h are 2 ppm a second. */
  @Test
  void driftAndAlarmsAreThoseOfTheScenario() throws Exception {
    try (CaptureRig rig =
        new CaptureRig(
            folder,
            "drift_ppm_per_hour: 0.08",
            "drift_ppm_per_hour: 7200",
            "# Loaded",
            "reader: {cut_rate: 0.01, garbled_rate: 0.01, dead_probes: [6]}\n# Loaded")) {
      List<String> said = new ArrayList<>();
      Figures last = null;
      try (Recording recording =
          Recording.open(request(rig, null, null, 3), Clock.systemUTC(), said::add)) {
        long end = System.nanoTime() + 4_000_000_000L;
        while (System.nanoTime() < end) {
          said.addAll(recording.read());
        }
        last = recording.figures(said::add);
      }
      assertThat(last.of()).isEqualTo(24);
      assertThat(last.locked()).isEqualTo(23);
      assertThat(last.drift().value())
          .isCloseTo(7200, within(4 * last.drift().uncertainty() + 0.02 * 7200));
      assertThat(said)
          .anyMatch(s -> s.matches("ALARM: the field is \\+3\\.\\d+ ppm from its first .* 3.*"))
          .anyMatch(s -> s.startsWith("ALARM: probe 6 does not lock"))
          .anyMatch(s -> s.startsWith("ALARM: drift of "));
      assertThat(said.stream().filter(s -> s.startsWith("ALARM: the field"))).hasSize(1);
      FieldLog log = log(rig);
      assertThat(log.size()).isEqualTo((int) last.readings()).isGreaterThan(100);
      assertThat(log.ofProbe(3).size()).isBetween(log.size() / 24, log.size() / 24 + 1);
      assertThat(Files.readString(rig.folder().resolve("log.csv")))
          .contains("# array_calibrated: 2026-03-02")
          .contains("# reader_identity: Fieldwright,Simulated reader")
          .containsPattern("# 20\\S+Z ALARM: the field is");
    }
  }

  /** 96 to 100 A in 6 s; the field at 100 A is that of the scenario, so 1 A is its hundredth. */
  @Test
  void fieldPerAmpereAndTimeToTarget() throws Exception {
    try (CaptureRig rig =
        new CaptureRig(
            folder,
            "# Loaded",
            "reader: {ramp: {from_A: 96, to_A: 100, minutes: 0.1}}\n# Loaded")) {
      Path ammeter = rig.folder().resolve("current.yaml");
      Files.writeString(
          ammeter,
          """
          reader: the same machine's current
          transport: {kind: tcp, host: localhost, port: %d}
          read: {ask: "MEASure:CURRent?", answer: [value], value_unit: A}
          """
              .formatted(rig.reader().port()));
      List<String> said = new ArrayList<>();
      Figures last = null;
      try (Recording recording =
          Recording.open(request(rig, 12, ammeter, 1e6), Clock.systemUTC(), said::add)) {
        long end = System.nanoTime() + 3_000_000_000L;
        while (System.nanoTime() < end) {
          said.addAll(recording.read());
        }
        last = recording.figures(said::add);
      }
      // The field follows the current, read a moment later, within some ms of 0.67 A/s.
      assertThat(last.fieldPerAmpere().value()).isCloseTo(0.0055, within(0.00005));
      double perHour = 4.0 / 360 * 0.01 * last.frequencyMHz() / last.current() * 100 * 3600;
      double hours = (23.5 - last.frequencyMHz()) / (perHour * 60);
      assertThat(last.hoursToTarget().value()).isCloseTo(hours, within(0.05 * hours));
      assertThat(log(rig).current()).isNotNull();
      assertThat(last.line()).contains(" mT/A").contains("MHz/h").contains("target in +");
    }
  }

  @Test
  void goesOnAfterATornLineAndMarksTheGap() throws Exception {
    try (CaptureRig rig = new CaptureRig(folder)) {
      Path log = rig.folder().resolve("log.csv");
      List<String> said = new ArrayList<>();
      try (Recording recording =
          Recording.open(request(rig, 5, null, 1), Clock.systemUTC(), said::add)) {
        for (int i = 0; i < 20; i++) {
          recording.read();
        }
      }
      Files.writeString(log, "2026-11-26T02:0", StandardOpenOption.APPEND);
      try (Recording recording =
          Recording.open(request(rig, 5, null, 1), Clock.systemUTC(), said::add)) {
        recording.read();
        recording.read();
        assertThat(recording.figures(said::add).readings()).isEqualTo(22);
      }
      assertThat(said).contains("Going on after 20 readings: " + log);
      assertThat(log(rig).size()).isEqualTo(22);
      assertThat(Files.readString(log))
          .containsPattern(
              "\n# gap: \\d+\\.\\d s without a reading, the recording was begun again\n");
      assertThatThrownBy(
              () -> Recording.open(request(rig, 77, null, 1), Clock.systemUTC(), said::add))
          .isInstanceOf(BadInput.class)
          .hasMessageContaining("found no probe 77");
    }
  }

  @Test
  void aLogOfOtherColumnsIsNotGoneOnWith() throws Exception {
    try (CaptureRig rig = new CaptureRig(folder)) {
      Files.writeString(rig.folder().resolve("log.csv"), "time,frequency_MHz\n");
      assertThatThrownBy(() -> Recording.open(request(rig, 5, null, 1), Clock.systemUTC(), s -> {}))
          .isInstanceOf(BadInput.class)
          .hasMessageContaining("found the columns time,frequency_MHz, expected time,probe,");
    }
  }
}
