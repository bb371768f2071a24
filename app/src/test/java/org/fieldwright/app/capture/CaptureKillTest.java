package org.fieldwright.app.capture;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import java.util.concurrent.TimeUnit;
import org.fieldwright.adapters.files.MagnetFile;
import org.fieldwright.adapters.files.SurveyFile;
import org.fieldwright.adapters.journal.Journal;
import org.fieldwright.app.cli.Main;
import org.fieldwright.core.reading.Reading;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/** {@code take} in a process of its own, killed with SIGKILL while a faulty reader answers it. */
@Timeout(1800) // a guard against hanging, not a measurement
class CaptureKillTest {
  private static final long SEED = 20260409;
  private static final int ANGLES = 6;
  private static final int PROBES = 24;
  private static final int MOST_BYTES = 8000; // of the journal until it is killed: 50 readings

  @TempDir Path folder;

  @Test
  void killedAndResumed() throws Exception {
    kill(4);
  }

  /** As many as the issue asks for. */
  @Test
  @Tag("slow")
  void killedAndResumedTwoHundredTimes() throws Exception {
    kill(200);
  }

  private void kill(int times) throws Exception {
    SplittableRandom random = new SplittableRandom(SEED);
    try (CaptureRig rig =
        new CaptureRig(
            folder,
            "seconds_per_reading: 0\n",
            "seconds_per_reading: 0.002\n",
            "# Loaded",
            "reader: {cut_rate: 0.01, garbled_rate: 0.01}\n# Loaded")) {
      KilledJava java = times > 10 ? KilledJava.archived(folder, words(rig)) : KilledJava.plain();
      int surveys = 0;
      byte[] before = new byte[0];
      for (int i = 0; i < times; i++) {
        long until = journal(rig).toFile().length() + random.nextInt(MOST_BYTES);
        int shown = shownUntilKilled(take(java, rig), journal(rig), until, random.nextInt(10));
        String of = "kill %d, seed %d".formatted(i, SEED);
        if (Files.exists(journal(rig))) {
          byte[] after = Files.readAllBytes(journal(rig));
          assertThat(Arrays.copyOf(after, before.length)).as(of).isEqualTo(before);
          assertThat(count(after, "\"done\"")).as(of).isGreaterThanOrEqualTo(shown);
          before = wholeOf(rig);
        }
        if (Files.exists(rig.survey())) {
          holds(rig);
          surveys++;
          before = new byte[0];
        }
      }
      finish(java, rig);
      assertThat(surveys).isGreaterThanOrEqualTo(times / 40);
    }
  }

  private static Path journal(CaptureRig rig) {
    return rig.folder().resolve("taken.csv.journal");
  }

  private static String[] words(CaptureRig rig) {
    return new String[] {
      Main.class.getName(),
      "take",
      "--magnet",
      rig.magnet().toString(),
      "--instrument",
      rig.profile().toString(),
      "--out",
      rig.survey().toString(),
      "--angles",
      "" + ANGLES
    };
  }

  private static Process take(KilledJava java, CaptureRig rig) throws IOException {
    Process process = java.start(words(rig));
    OutputStream lines = process.getOutputStream();
    lines.write("\n".repeat(ANGLES + 1).getBytes(StandardCharsets.US_ASCII));
    lines.flush();
    return process;
  }

  /**
   * Kills the process once the journal has grown to this size and some ms have passed, or the
   * survey is written.
   *
   * @return how many angles it had shown as taken, at the least
   */
  private static int shownUntilKilled(Process process, Path journal, long size, int afterMs)
      throws Exception {
    int shown = 0;
    try (BufferedReader said = process.inputReader(StandardCharsets.UTF_8)) {
      String line = said.readLine();
      while (line != null && !line.matches(".* of 7.*")) {
        line = said.readLine();
      }
      // By what was written, not by the clock: on a busy machine nothing happens in some ms.
      while (process.isAlive() && journal.toFile().length() < size) {
        TimeUnit.MILLISECONDS.sleep(1);
      }
      TimeUnit.MILLISECONDS.sleep(afterMs);
      process.toHandle().destroyForcibly(); // SIGKILL, without closing the pipe
      for (; line != null; line = said.readLine()) {
        if (line.matches(".*\\(\\d of 7.*")) {
          shown = Integer.parseInt(line.replaceAll(".*\\((\\d) of 7.*", "$1")) - 1;
        }
      }
      process.waitFor();
    }
    return shown;
  }

  private static int count(byte[] journal, String word) {
    return new String(journal, StandardCharsets.ISO_8859_1).split(word, -1).length - 1;
  }

  /** The journal without a torn tail, as the next process will find it. */
  private static byte[] wholeOf(CaptureRig rig) throws IOException {
    try (Journal journal = Journal.open(journal(rig))) {
      assertThat(journal.found()).isNotNull();
    }
    return Files.readAllBytes(journal(rig));
  }

  private static void finish(KilledJava java, CaptureRig rig) throws Exception {
    for (int tries = 0; tries < 3 && !Files.exists(rig.survey()); tries++) {
      Process process = take(java, rig);
      process.getOutputStream().close();
      process.getInputStream().readAllBytes();
      process.waitFor();
    }
    holds(rig);
  }

  /** Every probe at every angle once, and the first angle once more; then the file makes room. */
  private static void holds(CaptureRig rig) throws IOException {
    if (Files.exists(journal(rig))) {
      Files.delete(journal(rig)); // killed between writing the one and removing the other
    }
    List<Reading> readings =
        SurveyFile.read(rig.survey(), MagnetFile.read(rig.magnet())).readings();
    assertThat(readings).hasSize((ANGLES + 1) * PROBES);
    for (int probe = 1; probe <= PROBES; probe++) {
      for (int k = 0; k < ANGLES; k++) {
        int id = probe;
        double angle = 360.0 / ANGLES * k;
        assertThat(readings.stream().filter(r -> r.probe() == id && r.angleDeg() == angle))
            .hasSize(k == 0 ? 2 : 1);
      }
    }
    Files.delete(rig.survey());
  }
}
