package org.fieldwright.app.server;

import static org.assertj.core.api.Assertions.assertThat;

import io.zonky.test.db.postgres.embedded.EmbeddedPostgres;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.SQLException;
import java.util.List;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** Servers that share one PostgreSQL database; each has folders of its own. */
class SharedNotebookTest extends StoredNotebookContract {
  private static final String RIDGE = "/api/v1/magnets/ridge";
  private static EmbeddedPostgres database;
  private static int schemas;
  private String schema;

  @BeforeAll
  static void start() throws IOException {
    database = EmbeddedPostgres.builder().start();
  }

  @AfterAll
  static void end() throws IOException {
    database.close();
  }

  @BeforeEach
  void empty() throws SQLException {
    schema = "n" + ++schemas;
    try (Connection c = database.getPostgresDatabase().getConnection()) {
      c.createStatement().execute("create schema " + schema);
    }
  }

  @Override
  String store() {
    return database.getJdbcUrl("postgres", "postgres") + "&currentSchema=" + schema;
  }

  @Test
  void whatOneSavesTheOtherHas() throws Exception {
    LocalServer here = serve(data());
    LocalServer there = serve(folder.resolve("there"));
    String tag = put(here, "a.csv", "first", null);

    assertThat(get(there, "/api/v1/magnets").body()).contains("\"id\":\"ridge\"");
    assertThat(get(there, RIDGE + "/files/a.csv").body()).isEqualTo("first");
    assertThat(status(there, "a.csv", "unaware", null)).isEqualTo(412);
    String next = put(there, "a.csv", "second", tag);
    assertThat(status(here, "a.csv", "late", tag)).isEqualTo(412);
    assertThat(get(here, RIDGE + "/files/a.csv").body()).isEqualTo("second");
    assertThat(file("a.csv")).hasContent("second");
    put(here, "a.csv", "third", next);
    assertThat(get(there, RIDGE + "/files/a.csv").body()).isEqualTo("third");
    assertThat(folder.resolve("there/magnets/ridge/fieldwright/notebook.json"))
        .hasSameBinaryContentAs(file("fieldwright/notebook.json"));
  }

  /** The folder of one is changed by hand while the other saves: neither is lost. */
  @Test
  void aHandHereAndASaveThereAreBothKept() throws Exception {
    LocalServer here = serve(data());
    LocalServer there = serve(folder.resolve("there"));
    String tag = put(here, "a.csv", "first", null);
    put(there, "a.csv", "saved there", tag);
    Files.writeString(file("a.csv"), "by hand here");

    assertThat(get(here, RIDGE + "/files/a.csv").body()).isEqualTo("saved there");
    assertThat(get(here, RIDGE + "/files/a-by-hand.csv").body()).isEqualTo("by hand here");
    assertThat(get(there, RIDGE + "/files/a-by-hand.csv").body()).isEqualTo("by hand here");
  }

  @Test
  void ofTwoWhoRecordTheSameRoundOneIsTold() throws Exception {
    LocalServer here = serve(data());
    LocalServer there = serve(folder.resolve("there"));
    assertThat(post(here, "/api/v1/sample", "").statusCode()).isEqualTo(200);
    String sample = "/api/v1/magnets/kestrel-ridge";
    Path folderHere = data().resolve("magnets/kestrel-ridge");
    Files.writeString(
        folderHere.resolve("list.csv"), "tray,pocket,piece,count,from,to\n1,1,thin,1,0,1\n");
    assertThat(get(here, sample).statusCode()).isEqualTo(200);
    String round = "{\"changes\":\"list.csv\",\"by\":\"A. Tester\"}";

    List<Integer> answers =
        List.of(here, there).parallelStream()
            .map(
                server -> {
                  try {
                    return post(server, sample + "/rounds", round).statusCode();
                  } catch (Exception e) {
                    throw new IllegalStateException(e);
                  }
                })
            .toList();

    assertThat(answers).containsOnlyOnce(200);
    assertThat(answers).allMatch(status -> List.of(200, 412, 422).contains(status));
    for (LocalServer server : List.of(here, there)) {
      assertThat(get(server, sample).body()).containsOnlyOnce("\"by\":\"A. Tester\"");
      assertThat(get(server, sample + "/files/loadings.csv").body().lines()).hasSize(2);
    }
  }
}
