package org.fieldwright.adapters.store;

import java.nio.file.Path;
import java.time.Clock;
import java.time.Instant;
import java.time.LocalDate;
import java.util.List;
import java.util.Optional;
import java.util.SplittableRandom;

/** Saves until it is killed, and says of each save that it has come back. */
final class SavingChild {
  static final String MAGNET = "ridge";
  private static final int FILES = 5;

  private SavingChild() {}

  /** What belongs at a path at a revision: large enough to be killed in the middle of. */
  static byte[] content(String path, long revision) {
    SplittableRandom random = new SplittableRandom(path.hashCode() * 1_000_003L + revision);
    byte[] content = new byte[20_000 + random.nextInt(200_000)];
    random.nextBytes(content);
    return content;
  }

  /** Arguments: the folder of the store. */
  public static void main(String[] args) throws Exception {
    try (Store store = Stores.embedded(Path.of(args[0]), Clock.systemUTC())) {
      if (store.magnet(MAGNET).isEmpty()) {
        store.save(new Magnet(MAGNET, "Kestrel Ridge", 0));
      }
      for (int i = store.visits(MAGNET).size(); ; i++) {
        step(store, i);
      }
    }
  }

  private static void step(Store store, int i) throws Exception {
    String path = "survey-" + i % FILES + ".csv";
    Optional<Document> there = store.document(MAGNET, path);
    long revision = there.map(Document::revision).orElse(0L);
    byte[] content = content(path, revision + 1);
    Document saved = store.save(new Label(MAGNET, path, Kind.SURVEY, null), content, revision);
    say("file", path, saved.revision());
    Result result =
        new Result(
            MAGNET,
            null,
            "assess",
            List.of(new Result.Input(path, saved.sha256())),
            "0.1.0",
            "{}",
            (long) i,
            null,
            Instant.EPOCH);
    say("result", store.keep(result, content("answer", i)).id(), i);
    String visit = "v" + i;
    store.save(new Visit(MAGNET, visit, LocalDate.EPOCH, "", 0));
    say("visit", visit, 1);
  }

  private static void say(String what, String name, long number) {
    System.out.println(what + " " + name + " " + number);
    System.out.flush();
  }
}
