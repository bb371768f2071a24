package org.fieldwright.adapters.store;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import java.io.BufferedReader;
import java.io.IOException;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.ResultSet;
import java.util.HashSet;
import java.util.Map;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.TreeMap;
import java.util.concurrent.TimeUnit;
import org.fieldwright.adapters.Sha256;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A process that is killed in the middle of a save loses nothing that it was told is saved. */
class KilledStoreTest {
  @TempDir Path folder;

  /** Revision by path, as acknowledged. */
  private final Map<String, Long> files = new TreeMap<>();

  private final Set<String> results = new HashSet<>();
  private final Set<String> visits = new HashSet<>();

  @Test
  void nothingAcknowledgedIsLostInTenKills() throws Exception {
    kill(10, new SplittableRandom(11));
  }

  @Test
  @Tag("slow")
  void nothingAcknowledgedIsLostInTwoHundredKills() throws Exception {
    kill(200, new SplittableRandom(12));
  }

  private void kill(int times, SplittableRandom random) throws Exception {
    for (int i = 0; i < times; i++) {
      run(1 + random.nextInt(20), random.nextInt(8_000));
      check("kill " + i, i + 1);
    }
    assertThat(visits).hasSizeGreaterThan(times);
  }

  /** Reads a number of acknowledgements, waits a little longer, and kills with signal 9. */
  private void run(int acknowledgements, int microseconds)
      throws IOException, InterruptedException {
    Process child =
        new ProcessBuilder(
                Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                "-XX:TieredStopAtLevel=1",
                "-XX:+UseSerialGC",
                "-cp",
                System.getProperty("java.class.path"),
                SavingChild.class.getName(),
                folder.toString())
            .redirectError(ProcessBuilder.Redirect.DISCARD)
            .start();
    try (BufferedReader said = child.inputReader(UTF_8)) {
      for (int i = 0; i < acknowledgements; i++) {
        note(said.readLine());
      }
      TimeUnit.MICROSECONDS.sleep(microseconds);
      child.toHandle().destroyForcibly(); // the process's own method would close what it said
      child.waitFor();
      said.lines().filter(line -> line.split(" ", -1).length == 3).forEach(this::note);
    } finally {
      child.destroyForcibly();
    }
  }

  private void note(String line) {
    assertThat(line).as("the child ended by itself").isNotNull();
    String[] words = line.split(" ", -1);
    switch (words[0]) {
      case "file" -> files.put(words[1], Long.valueOf(words[2]));
      case "result" -> results.add(words[1]);
      default -> visits.add(words[1]);
    }
  }

  /**
   * @param unfinished saves that may be there without having been acknowledged: one a kill
   */
  private void check(String when, int unfinished) throws Exception {
    try (Store store = Stores.embedded(folder, StoreContract.CLOCK)) {
      for (Document d : store.documents(SavingChild.MAGNET)) {
        String path = d.label().path();
        byte[] content = SavingChild.content(path, d.revision());
        assertThat(d.revision()).as(when).isGreaterThanOrEqualTo(files.getOrDefault(path, 0L));
        assertThat(store.content(d.sha256()).orElseThrow()).as(when).isEqualTo(content);
      }
      assertThat(store.documents(SavingChild.MAGNET))
          .extracting(d -> d.label().path())
          .as(when)
          .containsAll(files.keySet());
      assertThat(store.visits(SavingChild.MAGNET))
          .extracting(Visit::id)
          .as(when)
          .containsAll(visits);
      assertThat(store.results(SavingChild.MAGNET))
          .extracting(KeptResult::id)
          .as(when)
          .containsAll(results)
          .hasSizeLessThanOrEqualTo(results.size() + unfinished);
      for (KeptResult kept : store.results(SavingChild.MAGNET)) {
        assertThat(Sha256.of(store.content(kept.answer()).orElseThrow()))
            .as(when)
            .isEqualTo(kept.answer());
      }
    }
    try (Connection c = DriverManager.getConnection("jdbc:sqlite:" + folder.resolve(Stores.FILE));
        ResultSet verdict = c.createStatement().executeQuery("pragma integrity_check")) {
      assertThat(verdict.getString(1)).as(when).isEqualTo("ok");
    }
  }
}
