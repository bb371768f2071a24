package org.fieldwright.adapters.store;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.time.Clock;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;
import java.util.TreeMap;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.stream.Stream;
import org.assertj.core.api.ThrowableAssert.ThrowingCallable;
import org.fieldwright.adapters.Sha256;
import org.fieldwright.core.BadInput;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** What every store keeps to, whatever engine it is on. */
abstract class StoreContract {
  static final Instant NOW = Instant.parse("2026-03-02T10:00:00.123456Z");
  static final Clock CLOCK = Clock.fixed(NOW, ZoneOffset.UTC);
  static final Label SURVEY = new Label("ridge", "2026/märz/bare (1).csv", Kind.SURVEY, "bare");

  /** SHA-256 of "abc": FIPS 180-2, appendix B.1. */
  static final String ABC = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";

  protected Store store;

  /** An empty one. */
  abstract Store fresh() throws IOException;

  /** The same once more, as another process would open it. */
  abstract Store again() throws IOException;

  @BeforeEach
  void open() throws Exception {
    store = fresh();
    store.save(new Magnet("ridge", "Kestrel Ridge, 0.55 T", 0));
    store.save(new Visit("ridge", "bare", LocalDate.of(2026, 3, 2), "before any iron", 0));
  }

  @AfterEach
  void close() {
    store.close();
  }

  static Result result(String sha256) {
    return new Result(
        "ridge",
        "bare",
        "assess",
        List.of(new Result.Input("bare.csv", sha256), new Result.Input("m.yaml", sha256)),
        "0.1.0",
        "{\"degree\": 12, \"wanted_ppm\": 0.10}",
        Long.MAX_VALUE,
        null,
        NOW);
  }

  static Round round(long revision) {
    return new Round(
        "ridge", "bare", 1, SURVEY.path(), null, null, SURVEY.path(), "half loaded", revision);
  }

  static byte[] abc() {
    return "abc".getBytes(UTF_8);
  }

  @Test
  void whatWasSavedIsThereForAnotherProcess() throws Exception {
    Document document = store.save(SURVEY, abc(), 0);
    Round round = store.save(round(0));
    KeptResult kept = store.keep(result(ABC), "{}".getBytes(UTF_8));
    ColumnMapping mapping =
        store.save(new ColumnMapping("ridge", "Winkel;Sonde;µT", "{\"a\": 1.50}", 0));
    try (Store other = again()) {
      assertThat(other.magnets()).containsExactly(new Magnet("ridge", "Kestrel Ridge, 0.55 T", 1));
      assertThat(other.visits("ridge"))
          .containsExactly(
              new Visit("ridge", "bare", LocalDate.of(2026, 3, 2), "before any iron", 1));
      assertThat(other.documents("ridge"))
          .containsExactly(document)
          .containsExactly(new Document(SURVEY, ABC, 3, NOW, 1));
      assertThat(other.document("ridge", SURVEY.path())).contains(document);
      assertThat(other.content(ABC)).hasValueSatisfying(b -> assertThat(b).isEqualTo(abc()));
      assertThat(other.rounds("ridge")).containsExactly(round(1)).containsExactly(round);
      assertThat(other.results("ridge")).containsExactly(kept);
      assertThat(other.columnMappings("ridge"))
          .containsExactly(mapping)
          .containsExactly(new ColumnMapping("ridge", "Winkel;Sonde;µT", "{\"a\":1.50}", 1));
    }
    assertThat(kept.result().seed()).isEqualTo(Long.MAX_VALUE);
    assertThat(kept.result().iterations()).isNull();
    assertThat(kept.result().options()).isEqualTo("{\"degree\":12,\"wanted_ppm\":0.10}");
  }

  @Test
  void anyBytesComeBackAsTheyWere() throws Exception {
    SplittableRandom random = new SplittableRandom(5);
    for (int size : new int[] {0, 1, 4096, 3_000_000}) {
      byte[] content = new byte[size];
      random.nextBytes(content);
      Document kept = store.save(new Label("ridge", size + ".bin", Kind.OTHER, null), content, 0);
      assertThat(kept.bytes()).isEqualTo(size);
      assertThat(store.content(kept.sha256()).orElseThrow()).as("seed 5").isEqualTo(content);
    }
  }

  @Test
  void everyRowIsSavedOnlyAgainstTheRevisionThatIsThere() throws Exception {
    store.save(SURVEY, abc(), 0);
    store.save(round(0));
    ColumnMapping mapping = new ColumnMapping("ridge", "h", "{}", 0);
    store.save(mapping);
    for (long revision : new long[] {0, 2, -1}) {
      refused(() -> store.save(new Magnet("ridge", "another", revision)));
      refused(
          () -> store.save(new Visit("ridge", "bare", LocalDate.of(2030, 1, 1), "late", revision)));
      refused(() -> store.save(SURVEY, new byte[] {1}, revision));
      refused(() -> store.relabel(new Label("ridge", SURVEY.path(), Kind.OTHER, null), revision));
      refused(() -> store.save(round(revision)));
      refused(() -> store.save(new ColumnMapping("ridge", "h", "{\"x\": 1}", revision)));
    }
    assertThat(store.magnet("ridge").orElseThrow().title()).isEqualTo("Kestrel Ridge, 0.55 T");
    assertThat(store.visit("ridge", "bare").orElseThrow().note()).isEqualTo("before any iron");
    assertThat(store.documents("ridge")).containsExactly(new Document(SURVEY, ABC, 3, NOW, 1));
    assertThat(store.columnMappings("ridge").get(0).mapping()).isEqualTo("{}");

    assertThat(store.save(new Magnet("ridge", "another", 1)).revision()).isEqualTo(2);
    assertThat(store.save(round(1)).revision()).isEqualTo(2);
    Label other = new Label("ridge", SURVEY.path(), Kind.OTHER, null);
    assertThat(store.relabel(other, 1)).isEqualTo(new Document(other, ABC, 3, NOW, 2));
  }

  private static void refused(ThrowingCallable call) {
    assertThatThrownBy(call).isInstanceOf(Changed.class).hasMessageContaining("open it again");
  }

  @Test
  void ofManyWhoSaveAtOnceOneWins() throws Exception {
    store.save(SURVEY, abc(), 0);
    ExecutorService pool = Executors.newFixedThreadPool(8);
    try (Store other = again()) {
      for (int revision = 1; revision <= 5; revision++) {
        List<Callable<Boolean>> calls = new ArrayList<>();
        for (int i = 0; i < 8; i++) {
          byte[] mine = {(byte) revision, (byte) i};
          Store through = i % 2 == 0 ? store : other;
          long expected = revision;
          calls.add(() -> wins(through, mine, expected));
        }
        int won = 0;
        for (Future<Boolean> each : pool.invokeAll(calls)) {
          won += each.get() ? 1 : 0;
        }
        assertThat(won).isEqualTo(1);
        assertThat(store.document("ridge", SURVEY.path()).orElseThrow().revision())
            .isEqualTo(revision + 1);
      }
    } finally {
      pool.shutdown();
    }
  }

  private static boolean wins(Store through, byte[] content, long revision) {
    try {
      through.save(SURVEY, content, revision);
      return true;
    } catch (Changed e) {
      return false;
    }
  }

  @Test
  void aContentStaysAsLongAsAFileOrAResultNeedsIt() throws Exception {
    Label copy = new Label("ridge", "copy.csv", Kind.SURVEY, null);
    store.save(SURVEY, abc(), 0);
    store.save(copy, abc(), 0);
    store.save(SURVEY, new byte[] {1}, 1);
    assertThat(store.content(ABC)).isPresent();
    store.keep(result(ABC), abc());
    store.save(copy, new byte[] {2}, 1);
    assertThat(store.content(ABC)).isPresent();

    String one = store.document("ridge", SURVEY.path()).orElseThrow().sha256();
    store.save(SURVEY, new byte[] {3}, 2);
    assertThat(store.content(one)).isEmpty();
  }

  /** A search takes a while; its magnet file may be another by the time it ends. */
  @Test
  void aResultBringsTheContentsItRestsOnAndLeavesNoOther() throws Exception {
    store.keep(result(ABC), new byte[] {1}, List.of(abc(), new byte[] {5}));
    assertThat(store.content(ABC)).isPresent();
    assertThat(store.content(Sha256.of(new byte[] {5}))).isEmpty();
  }

  @Test
  void whatIsWrittenTogetherIsThereWholeOrNotAtAll() throws Exception {
    long before = store.changes().get("ridge");
    refused(
        () ->
            store.together(
                writer -> {
                  writer.save(SURVEY, abc(), 0);
                  return writer.save(SURVEY, abc(), 7);
                }));
    assertThat(store.documents("ridge")).isEmpty();
    assertThat(store.changes()).containsExactly(Map.entry("ridge", before));

    store.together(
        writer -> {
          writer.save(SURVEY, abc(), 0);
          return writer.save(round(0));
        });
    assertThat(store.rounds("ridge")).containsExactly(round(1));
    assertThat(store.changes().get("ridge")).isGreaterThan(before);
    assertThat(store.notebook("ridge").orElseThrow())
        .isEqualTo(store.export("ridge").get("fieldwright/notebook.json"));
    assertThat(store.notebook("nowhere")).isEmpty();
  }

  @Test
  void theSameResultIsKeptOnce() throws Exception {
    store.save(SURVEY, abc(), 0);
    KeptResult first = store.keep(result(ABC), new byte[] {1});
    assertThat(store.keep(result(ABC), new byte[] {1})).isEqualTo(first);
    KeptResult second = store.keep(result(ABC), new byte[] {2});
    assertThat(store.results("ridge")).containsExactlyInAnyOrder(first, second);
  }

  @Test
  void aResultIsNotKeptWithoutWhatItWasComputedFrom() {
    assertThatThrownBy(() -> store.keep(result(ABC), new byte[] {1}))
        .isInstanceOf(BadInput.class)
        .hasMessageContaining("bare.csv");
    assertThat(store.results("ridge")).isEmpty();
  }

  @Test
  void aPathLeadsNowhereElse() {
    for (String path :
        List.of(
            "",
            "/etc/passwd",
            "../x",
            "a/../b",
            "a//b",
            "a/",
            "./a",
            "a\\b",
            "a\nb",
            "a\0b",
            "fieldwright/x")) {
      Label label = new Label("ridge", path, Kind.OTHER, null);
      assertThatThrownBy(() -> store.save(label, abc(), 0))
          .as(path)
          .isInstanceOf(BadInput.class)
          .hasMessageContaining("path");
    }
    assertThat(store.content(ABC)).as("rolled back").isEmpty();
  }

  @Test
  void whatIsReferredToMustBeThere() {
    Stream<ThrowingCallable> calls =
        Stream.of(
            () -> store.save(new Visit("other", "v", LocalDate.EPOCH, "", 0)),
            () -> store.save(new Label("other", "a.csv", Kind.SURVEY, null), abc(), 0),
            () -> store.save(new Label("ridge", "a.csv", Kind.SURVEY, "v"), abc(), 0),
            () -> store.save(round(0)),
            () -> store.save(new ColumnMapping("other", "h", "{}", 0)));
    calls.forEach(call -> assertThatThrownBy(call).isInstanceOf(BadInput.class));
    assertThat(store.visits("other")).isEmpty();
    assertThat(store.magnet("other")).isEmpty();
  }

  @Test
  void wordsThatNoEngineOrFileSystemShouldSeeAreRefused() {
    Stream<ThrowingCallable> calls =
        Stream.of(
            () -> store.save(new Magnet("a b", "", 0)),
            () -> store.save(new Magnet("a".repeat(65), "", 0)),
            () -> store.save(new Magnet("m", "a\0b", 0)),
            () -> store.save(new Visit("ridge", "..", LocalDate.EPOCH, "", 0)),
            () -> store.save(new ColumnMapping("ridge", "h", "[1]", 0)),
            () -> store.save(new ColumnMapping("ridge", "h", "{\"a\":1} {", 0)));
    calls.forEach(call -> assertThatThrownBy(call).isInstanceOf(BadInput.class));
    assertThat(store.magnets()).hasSize(1);
  }

  /** A folder as a person keeps it, with names and bytes that a careless program would mend. */
  static Map<String, byte[]> folder() {
    return new TreeMap<>(
        Map.of(
            "kestrel ridge.yaml",
            "magnet: {field_T: 0.55}\r\n".getBytes(UTF_8),
            "2026/märz/bare (1).csv",
            abc(),
            ".hidden",
            new byte[0],
            "photo.jpg",
            new byte[] {(byte) 0xff, (byte) 0xd8, 0, 10, 13}));
  }

  static Kind kind(String path, byte[] content) {
    return path.endsWith(".csv") && content.length > 0 ? Kind.SURVEY : Kind.OTHER;
  }

  @Test
  void aFolderComesOutByteForByteAsItWentIn() throws Exception {
    Magnet magnet = store.add("copy", folder(), StoreContract::kind);
    assertThat(magnet).isEqualTo(new Magnet("copy", "copy", 1));
    assertThat(store.documents("copy"))
        .extracting(d -> d.label().kind())
        .containsExactly(Kind.OTHER, Kind.SURVEY, Kind.OTHER, Kind.OTHER);
    Map<String, byte[]> out = store.export("copy");
    assertThat(out.remove("fieldwright/notebook.json")).isNotNull();
    assertSame(out, folder());
  }

  private static void assertSame(Map<String, byte[]> found, Map<String, byte[]> expected) {
    assertThat(found.keySet()).isEqualTo(expected.keySet());
    expected.forEach((path, bytes) -> assertThat(found.get(path)).as(path).isEqualTo(bytes));
  }

  private Map<String, byte[]> wholeMagnet() throws Changed {
    store.save(SURVEY, abc(), 0);
    store.save(round(0));
    store.keep(result(ABC), "{\"limits\":[]}".getBytes(UTF_8));
    store.save(SURVEY, new byte[] {7}, 1); // the result rests on a content without a name now
    store.save(new ColumnMapping("ridge", "Winkel;Sonde;µT", "{\"a\": 1.50}", 0));
    return store.export("ridge");
  }

  @Test
  void nothingIsOnlyInTheDatabase() throws Exception {
    Map<String, byte[]> out = wholeMagnet();
    try (Store other = fresh()) {
      other.add("ridge", out, StoreContract::kind);
      assertSame(other.export("ridge"), out);
      assertThat(other.visits("ridge")).isEqualTo(store.visits("ridge"));
      assertThat(other.rounds("ridge")).isEqualTo(store.rounds("ridge"));
      assertThat(other.results("ridge")).isEqualTo(store.results("ridge"));
      assertThat(other.columnMappings("ridge")).isEqualTo(store.columnMappings("ridge"));
      assertThat(other.content(ABC)).isPresent();
    }
  }

  @Test
  void aFileEditedByHandIsTakenAndItsResultsStayReproducible() throws Exception {
    Map<String, byte[]> out = wholeMagnet();
    out.put(SURVEY.path(), new byte[] {8});
    out.put("added.csv", new byte[] {9});
    store.add("edited", out, StoreContract::kind);
    Map<String, byte[]> again = store.export("edited");
    assertThat(again.get(SURVEY.path())).containsExactly(8);
    assertThat(store.document("edited", "added.csv").orElseThrow().label().kind())
        .isEqualTo(Kind.SURVEY);
    assertThat(again.get("fieldwright/contents/" + ABC)).isEqualTo(abc());
  }

  @Test
  void aFolderThatDoesNotHoldTogetherIsRefusedWhole() throws Exception {
    Map<String, byte[]> out = wholeMagnet();
    store.close();
    store = fresh(); // one that has none of the contents
    String content = "fieldwright/contents/" + ABC;
    String notebook = new String(out.get("fieldwright/notebook.json"), UTF_8);
    assertRefused(without(out, SURVEY.path()), SURVEY.path());
    assertRefused(with(out, content, "abd"), content);
    assertRefused(without(out, content), "bare.csv");
    assertRefused(with(out, "fieldwright/x", ""), "fieldwright/x");
    for (String[] edit :
        new String[][] {
          {"\"fieldwright\" : 1", "\"fieldwright\" : 2", "version 1"},
          {"2026-03-02\"", "2026-13-02\"", "visits.day"},
          {"SURVEY", "SURVEYS", "files.kind"},
          {"\"assess\"", "\"shim\"", "was changed"},
          {"\"saved\" : \"2026", "\"saved\" : \"26", "files.saved"},
          {"{", "{{", "notebook.json:1"},
        }) {
      assertThat(notebook).contains(edit[0]);
      assertRefused(
          with(out, "fieldwright/notebook.json", notebook.replace(edit[0], edit[1])), edit[2]);
    }
    assertThat(store.magnets()).isEmpty();
    assertThat(store.content(ABC)).isEmpty();
    store.add("ridge", out, StoreContract::kind);
    assertThatThrownBy(() -> store.add("ridge", out, StoreContract::kind))
        .isInstanceOf(Changed.class);
  }

  @Test
  void accountsAreKeptAndSignedInUntilTheirTime() throws Exception {
    Accounts accounts = store.accounts();
    Account made = accounts.save(new Account("m.keller", "M. Keller", "sign", "derived", 0));
    assertThatThrownBy(() -> accounts.save(new Account("m.keller", "Other", "see", "x", 0)))
        .isInstanceOf(Changed.class);
    for (String name : List.of("M.Keller", "", ".keller", "m keller", "x".repeat(65))) {
      assertThatThrownBy(() -> accounts.save(new Account(name, "", "see", "x", 0)))
          .isInstanceOf(BadInput.class);
    }
    accounts.begin("over", "m.keller", NOW);
    accounts.begin("open", "m.keller", NOW.plusSeconds(1));
    accounts.begin("left", "m.keller", NOW.plusSeconds(60));
    accounts.end("left");
    try (Store other = again()) {
      assertThat(other.accounts().all()).containsExactly(made);
      assertThat(other.accounts().find("m.keller")).contains(made);
      assertThat(other.accounts().signedIn("open")).contains(made);
      for (String token : List.of("over", "left", "none", "m.keller")) {
        assertThat(other.accounts().signedIn(token)).as(token).isEmpty();
      }
      Account less = other.accounts().save(new Account("m.keller", "K.", "see", "new", 1));
      assertThat(accounts.find("m.keller")).contains(less);
      assertThat(accounts.signedIn("open")).as("a change ends the sign-in").isEmpty();
    }
    accounts.begin("again", "m.keller", NOW.plusSeconds(1));
    assertThat(accounts.remove("m.keller")).isTrue();
    assertThat(accounts.remove("m.keller")).isFalse();
    assertThat(accounts.signedIn("again")).isEmpty();
    assertThat(accounts.all()).isEmpty();
    assertThat(made.toString()).doesNotContain("derived");
  }

  private void assertRefused(Map<String, byte[]> files, String message) {
    assertThatThrownBy(() -> store.add("broken", files, StoreContract::kind))
        .isInstanceOf(BadInput.class)
        .hasMessageContaining(message);
  }

  private static Map<String, byte[]> with(Map<String, byte[]> files, String path, String content) {
    Map<String, byte[]> changed = new TreeMap<>(files);
    changed.put(path, content.getBytes(UTF_8));
    return changed;
  }

  private static Map<String, byte[]> without(Map<String, byte[]> files, String path) {
    Map<String, byte[]> changed = new TreeMap<>(files);
    changed.remove(path);
    return changed;
  }
}
