package org.fieldwright.app.capture;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.time.Clock;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.fieldwright.adapters.files.FieldLogFile;
import org.fieldwright.core.stability.FieldLog;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/** 100 readings a second for ten minutes, with faults: what it takes, and that nothing is lost. */
@Timeout(1800) // a guard against hanging, not a measurement
class RecordingLoadTest {
  private static final double GAMMA = 42.57638543;
  private static final double SECONDS = 600;
  private static final double ROUND_S = 0.24; // 24 probes: 100 a second
  private static final double MOST_GROWTH_MIB = 4;

  @TempDir Path folder;

  @Test
  @Tag("slow")
  void aHundredReadingsASecondForTenMinutes() throws Exception {
    load(true);
  }

  /** Each reading an answer, and a forced write, of its own. */
  @Test
  @Tag("slow")
  void probeByProbe() throws Exception {
    load(false);
  }

  private void load(boolean atOnce) throws Exception {
    List<Double> heap = new ArrayList<>();
    Path log = folder.resolve("log.csv");
    Figures[] last = new Figures[1];
    long start;
    double seconds;
    try (CaptureRig rig =
        new CaptureRig(
            folder, "# Loaded", "reader: {cut_rate: 0.0005, garbled_rate: 0.0005}\n# Loaded")) {
      if (atOnce) {
        rig.askForAllProbesAtOnce();
      }
      RecordRequest request =
          new RecordRequest(
              rig.magnet(), rig.profile(), log, null, null, ROUND_S, 900, null, null, 3600);
      try (Recording recording = Recording.open(request, Clock.systemUTC(), s -> {})) {
        start = System.nanoTime();
        new RecordingLoop(
                recording,
                ROUND_S,
                SECONDS / 10,
                new RecordingLoop.Listener() {
                  @Override
                  public void show(Figures figures) {
                    last[0] = figures;
                    heap.add(usedMib());
                  }

                  @Override
                  public void say(String text) {}

                  @Override
                  public void trouble(@Nullable String why) {}
                },
                () -> System.nanoTime() - start > SECONDS * 1e9)
            .run();
        seconds = (System.nanoTime() - start) * 1e-9;
      }
      System.out.printf(
          Locale.ROOT,
          "%s: %d readings in %.1f s, %.1f/s; heap in use from %.1f to %.1f MiB, %d faults%n",
          atOnce ? "one answer for all probes" : "probe by probe",
          last[0].readings(),
          seconds,
          last[0].readings() / seconds,
          heap.get(1),
          heap.get(heap.size() - 1),
          rig.reader().faults());
    }
    FieldLog read = FieldLogFile.read(log, GAMMA);
    assertThat(read.size()).isEqualTo((int) last[0].readings());
    assertThat(heap.get(heap.size() - 1)).isLessThan(heap.get(1) + MOST_GROWTH_MIB);
  }

  private static double usedMib() {
    System.gc();
    Runtime runtime = Runtime.getRuntime();
    return (runtime.totalMemory() - runtime.freeMemory()) / 1048576.0;
  }
}
