package org.fieldwright.adapters.journal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.BufferedReader;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import java.util.concurrent.TimeUnit;
import org.fieldwright.core.BadInput;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/** Processes that are really killed, disks that really refuse, bytes that are really changed. */
@Timeout(600) // a guard against hanging, not a measurement
class JournalTest {
  private static final long SEED = 20260407;

  @TempDir Path folder;

  /** Counts on from what the journal holds; says each number once it is kept. */
  static final class Counter {
    private Counter() {}

    public static void main(String[] args) throws IOException {
      try (Journal journal = Journal.open(Path.of(args[0]))) {
        int size = Integer.parseInt(args[1]);
        for (int i = journal.found().size(); ; i++) {
          try {
            journal.append(record(i, size));
          } catch (IOException e) {
            System.out.println(e.getMessage());
            journal.append(record(i, 4)); // what was written of the large one is gone
            System.out.println(i);
            return;
          }
          System.out.println(i);
        }
      }
    }
  }

  private static byte[] record(int i, int size) {
    String text = (i + " " + "x".repeat(size)).substring(0, size);
    return text.getBytes(StandardCharsets.US_ASCII);
  }

  private static int number(byte[] record) {
    String text = new String(record, StandardCharsets.US_ASCII);
    return Integer.parseInt(text.substring(0, text.indexOf(' ')));
  }

  private static Process count(Path journal, int size, String... before) throws IOException {
    List<String> command = new ArrayList<>(List.of(before));
    command.addAll(
        List.of(
            Path.of(System.getProperty("java.home"), "bin", "java").toString(),
            "-XX:TieredStopAtLevel=1",
            "-cp",
            System.getProperty("java.class.path"),
            Counter.class.getName(),
            journal.toString(),
            "" + size));
    return new ProcessBuilder(command).redirectErrorStream(true).start();
  }

  @Test
  void nothingAcknowledgedIsLostToKills() throws Exception {
    kill(8);
  }

  /** As many as the issue asks for. */
  @Test
  @Tag("slow")
  void nothingAcknowledgedIsLostToTwoHundredKills() throws Exception {
    kill(200);
  }

  private void kill(int times) throws Exception {
    SplittableRandom random = new SplittableRandom(SEED);
    Path path = folder.resolve("killed.journal");
    int acknowledged = -1;
    for (int i = 0; i < times; i++) {
      Process process = count(path, 200);
      try (BufferedReader said = process.inputReader(StandardCharsets.US_ASCII)) {
        String line = said.readLine();
        TimeUnit.MICROSECONDS.sleep(random.nextInt(40_000));
        process.toHandle().destroyForcibly(); // SIGKILL, without closing the pipe
        for (; line != null && line.matches("\\d+"); line = said.readLine()) {
          acknowledged = Math.max(acknowledged, Integer.parseInt(line));
        }
        process.waitFor();
      }
      try (Journal journal = Journal.open(path)) {
        List<byte[]> found = journal.found();
        assertThat(found).as("kill %d, seed %d", i, SEED).hasSizeGreaterThan(acknowledged);
        for (int k = 0; k < found.size(); k++) {
          assertThat(number(found.get(k))).isEqualTo(k);
        }
      }
    }
    assertThat(acknowledged).isGreaterThan(times);
  }

  /** A limit on the size of files makes the disk full in the middle of a record. */
  @Test
  void aFullDiskIsToldAndNothingIsLost() throws Exception {
    Path path = folder.resolve("full.journal");
    Process process = count(path, 300, "bash", "-c", "ulimit -f 4; exec \"$@\"", "bash");
    List<String> said = process.inputReader(StandardCharsets.US_ASCII).lines().toList();
    assertThat(process.waitFor()).as("%s", said).isZero();
    assertThat(said.get(said.size() - 2))
        .contains("full.journal: the last record could not be kept (File too large)")
        .contains("everything before it is safe");
    try (Journal journal = Journal.open(path)) {
      assertThat(journal.found()).hasSize(said.size() - 1);
      assertThat(number(journal.found().get(said.size() - 2))).isEqualTo(said.size() - 2);
    }
  }

  private Path written(int records) throws IOException {
    Path path = folder.resolve("j.journal");
    Files.deleteIfExists(path);
    try (Journal journal = Journal.open(path)) {
      for (int i = 0; i < records; i++) {
        journal.append(record(i, 20 + i));
      }
    }
    return path;
  }

  @Test
  void aTornTailIsCutWhereverItTears() throws IOException {
    byte[] whole = Files.readAllBytes(written(5));
    int last = whole.length - (8 + 24);
    for (int length = 0; length < whole.length; length++) {
      for (boolean zeros : new boolean[] {false, true}) {
        // A lost block reads as zeros when the length had reached the disk before the content.
        byte[] torn = Arrays.copyOf(Arrays.copyOf(whole, length), zeros ? whole.length : length);
        if (zeros && length < last) {
          continue; // more than the tail is gone
        }
        Path path = folder.resolve("torn.journal");
        Files.write(path, torn);
        int kept;
        try (Journal journal = Journal.open(path)) {
          kept = journal.found().size();
          journal.append(record(99, 10));
        }
        assertThat(kept).isEqualTo(length < 22 ? 0 : wholeRecords(length));
        try (Journal journal = Journal.open(path)) {
          assertThat(journal.found()).hasSize(kept + 1);
          assertThat(number(journal.found().get(kept))).isEqualTo(99);
        }
      }
    }
  }

  private static int wholeRecords(int length) {
    int end = 22;
    int count = 0;
    while (end + 8 + 20 + count <= length) {
      end += 8 + 20 + count++;
    }
    return count;
  }

  @Test
  void damageBeforeTheTailIsRefused() throws IOException {
    byte[] whole = Files.readAllBytes(written(5));
    int last = whole.length - (8 + 24);
    for (int at = 0; at < last; at++) {
      byte[] damaged = whole.clone();
      damaged[at] ^= (byte) (1 << (at % 8));
      Path path = folder.resolve("damaged.journal");
      Files.write(path, damaged);
      assertThatThrownBy(() -> Journal.open(path).close())
          .as("byte %d", at)
          .isInstanceOf(BadInput.class)
          .hasMessageContaining("damaged.journal: found");
    }
  }

  @Test
  void oneAtATime() throws IOException {
    Path path = written(1);
    try (Journal first = Journal.open(path)) {
      assertThatThrownBy(() -> Journal.open(path).close())
          .isInstanceOf(BadInput.class)
          .hasMessageContaining("another process is writing it");
      assertThat(first.found()).hasSize(1);
    }
  }
}
