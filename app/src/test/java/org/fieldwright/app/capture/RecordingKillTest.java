package org.fieldwright.app.capture;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.BufferedReader;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.concurrent.TimeUnit;
import org.fieldwright.adapters.files.FieldLogFile;
import org.fieldwright.app.simulate.ReaderService;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/** Recordings in a process of their own, killed, stopped and let go on. */
@Timeout(1800) // a guard against hanging, not a measurement
class RecordingKillTest {
  private static final long SEED = 20260702;
  private static final double GAMMA = 42.57638543;

  @TempDir Path folder;

  /** Records until it is killed, and says how many readings it shows as taken. */
  public static void main(String[] words) throws IOException {
    RecordRequest request =
        new RecordRequest(
            Path.of(words[0]),
            Path.of(words[1]),
            Path.of(words[2]),
            null,
            null,
            0,
            300,
            null,
            null,
            60);
    int rounds = Integer.parseInt(words[3]);
    try (Recording recording = Recording.open(request, Clock.systemUTC(), s -> {})) {
      for (int i = 0; i < rounds; i++) {
        recording.read();
        System.out.println("shown " + recording.figures(s -> {}).readings());
      }
    }
  }

  @Test
  void killedAndGoneOn() throws Exception {
    kill(3);
  }

  @Test
  @Tag("slow")
  void killedAndGoneOnTwoHundredTimes() throws Exception {
    kill(200);
  }

  private static CaptureRig rig(Path folder) throws IOException {
    return new CaptureRig(
        folder,
        "seconds_per_reading: 0\n",
        "seconds_per_reading: 0.001\n",
        "# Loaded",
        "reader: {cut_rate: 0.005, garbled_rate: 0.005}\n# Loaded");
  }

  private static String[] words(CaptureRig rig, Path log, int rounds) {
    return new String[] {
      RecordingKillTest.class.getName(),
      rig.magnet().toString(),
      rig.profile().toString(),
      log.toString(),
      "" + rounds
    };
  }

  private void kill(int times) throws Exception {
    SplittableRandom random = new SplittableRandom(SEED);
    Path log = folder.resolve("log.csv");
    try (CaptureRig rig = rig(folder)) {
      KilledJava program =
          times > 10
              ? KilledJava.archived(folder, words(rig, folder.resolve("rehearsal.csv"), 2))
              : KilledJava.plain();
      byte[] before = new byte[0];
      for (int i = 0; i < times; i++) {
        int shown = shownUntilKilled(program.start(words(rig, log, 100_000)), random.nextInt(250));
        byte[] after = Files.readAllBytes(log);
        String of = "kill %d, seed %d".formatted(i, SEED);
        int whole = lastLineEnd(before);
        assertThat(Arrays.copyOf(after, whole)).as(of).isEqualTo(Arrays.copyOf(before, whole));
        assertThat(samples(after)).as(of).isGreaterThanOrEqualTo(shown);
        before = after;
      }
      holds(rig, log);
    }
  }

  private static int shownUntilKilled(Process process, int afterMs) throws Exception {
    int shown = 0;
    try (BufferedReader said = process.inputReader(StandardCharsets.UTF_8)) {
      String line = said.readLine();
      TimeUnit.MILLISECONDS.sleep(afterMs);
      process.toHandle().destroyForcibly(); // SIGKILL, without closing the pipe
      for (; line != null; line = said.readLine()) {
        shown = line.matches("shown \\d+") ? Integer.parseInt(line.substring(6)) : shown;
      }
      process.waitFor();
    }
    return shown;
  }

  private static int lastLineEnd(byte[] bytes) {
    int end = bytes.length;
    while (end > 0 && bytes[end - 1] != '\n') {
      end--;
    }
    return end;
  }

  /** Whole lines that are samples. */
  private static int samples(byte[] log) {
    String text = new String(log, 0, lastLineEnd(log), StandardCharsets.UTF_8);
    return (int) text.lines().filter(l -> l.startsWith("20")).count();
  }

  /** The file reads back, no moment twice, and every gap of a start anew is marked. */
  private static void holds(CaptureRig rig, Path log) throws IOException {
    try (Recording last = Recording.open(request(rig, log), Clock.systemUTC(), s -> {})) {
      last.read();
    }
    List<String> rows = Files.readAllLines(log).stream().filter(l -> l.startsWith("20")).toList();
    Set<String> times = new HashSet<>();
    rows.forEach(r -> assertThat(times.add(r.split(",", -1)[0])).as(r).isTrue());
    assertThat(FieldLogFile.read(log, GAMMA).size()).isEqualTo(rows.size());
    assertThat(Files.readString(log)).contains("the recording was begun again");
  }

  private static RecordRequest request(CaptureRig rig, Path log) {
    return new RecordRequest(rig.magnet(), rig.profile(), log, null, null, 0, 300, null, null, 60);
  }

  /** A laptop that sleeps: SIGSTOP for longer than an answer may take, then SIGCONT. */
  @Test
  @Tag("slow")
  void stoppedAndLetGoOn() throws Exception {
    Path log = folder.resolve("log.csv");
    try (CaptureRig rig = rig(folder)) {
      Files.writeString(
          rig.profile(), Files.readString(rig.profile()).replace("timeout_s: 30", "timeout_s: 2"));
      Process process = KilledJava.plain().start(words(rig, log, 100_000));
      try (BufferedReader said = process.inputReader(StandardCharsets.UTF_8)) {
        String line = said.readLine();
        signal(process, "STOP");
        TimeUnit.SECONDS.sleep(12);
        signal(process, "CONT");
        long end = System.nanoTime() + TimeUnit.SECONDS.toNanos(5);
        while (System.nanoTime() < end && line != null) {
          line = said.readLine();
        }
        process.toHandle().destroyForcibly();
        process.waitFor();
      }
      assertThat(Files.readString(log)).containsPattern("# gap: 1\\d\\.\\d s without a reading\n");
      holds(rig, log);
    }
  }

  private static void signal(Process process, String name) throws Exception {
    int done =
        new ProcessBuilder("kill", "-" + name, "" + process.pid()).inheritIO().start().waitFor();
    assertThat(done).isZero();
  }

  /** A reader that is switched off and on under a recording. */
  @Test
  void aReaderThatComesBackIsReadAgain() throws Exception {
    Path log = folder.resolve("log.csv");
    try (CaptureRig rig = rig(folder)) {
      int port = rig.reader().port();
      Path scenario = rig.folder().resolve("scenario.yaml");
      try (Recording recording = Recording.open(request(rig, log), Clock.systemUTC(), s -> {})) {
        recording.read();
        rig.reader().close();
        try (ReaderService again = new ReaderService(scenario, port, null)) {
          recording.read();
          assertThat(again.port()).isEqualTo(port);
        }
      }
      assertThat(FieldLogFile.read(log, GAMMA).size()).isEqualTo(48);
    }
  }
}
