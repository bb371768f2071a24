package org.fieldwright.app.server;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpRequest.BodyPublishers;
import java.net.http.HttpResponse;
import java.net.http.HttpResponse.BodyHandlers;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import org.fieldwright.app.TemporaryFolder;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The store and the folders below the server, whatever database the store is on. */
abstract class StoredNotebookContract {
  private static final Path EXAMPLES = Path.of("..", "docs", "examples");
  private static final String RIDGE = "/api/v1/magnets/ridge";

  @TempDir Path folder;
  private final List<LocalServer> servers = new ArrayList<>();
  private final HttpClient client = HttpClient.newHttpClient();

  /** Address of an empty one, the same one within a test; null = the embedded one. */
  abstract String store();

  LocalServer serve(Path data) throws IOException {
    LocalServer server = new LocalServer(data, store(), Clock.systemUTC(), ZoneOffset.UTC, 0);
    servers.add(server);
    return server;
  }

  @AfterEach
  void stop() {
    servers.forEach(LocalServer::close);
  }

  Path data() {
    return folder.resolve("data");
  }

  Path file(String name) {
    return data().resolve("magnets").resolve("ridge").resolve(name);
  }

  @Test
  void whatAHandChangesInTheFolderIsTakenInAndTold() throws Exception {
    LocalServer server = serve(data());
    String tag = put(server, "a.csv", "first", null);
    Files.writeString(file("a.csv"), "by hand");
    Files.writeString(file("b.csv"), "added");
    Files.createDirectories(file("tables"));
    Files.writeString(file("tables/c (1).csv"), "below");

    assertThat(status(server, "a.csv", "second", tag)).isEqualTo(412);
    assertThat(get(server, RIDGE + "/files/a.csv").body()).isEqualTo("by hand");
    assertThat(get(server, RIDGE + "/files/b.csv").body()).isEqualTo("added");
    String now = get(server, RIDGE + "/files/a.csv").headers().firstValue("ETag").orElseThrow();
    assertThat(status(server, "a.csv", "second", now)).isEqualTo(200);
    assertThat(file("a.csv")).hasContent("second");
    assertThat(file("fieldwright/notebook.json")).content().contains("tables/c (1).csv");
  }

  @Test
  void whatIsDeletedFromTheFolderComesBack() throws Exception {
    LocalServer server = serve(data());
    put(server, "a.csv", "first", null);
    put(server, "b.csv", "second", null);
    Files.delete(file("a.csv"));
    assertThat(get(server, RIDGE + "/files/a.csv").body()).isEqualTo("first");
    try (var moved = new TemporaryFolder(data().resolve("magnets"))) {
      assertThat(moved.path()).exists();
    }
    assertThat(get(server, "/api/v1/magnets").body()).contains("ridge");
    assertThat(get(server, RIDGE + "/files/b.csv").body()).isEqualTo("second");
  }

  /** Without what is remembered of the folder nobody can say which of the two is newer. */
  @Test
  void whereBothChangedBothAreKept() throws Exception {
    LocalServer server = serve(data());
    put(server, "a.csv", "in the store", null);
    server.close();
    Files.writeString(file("a.csv"), "by hand");
    try (var forgotten = new TemporaryFolder(data().resolve("in-line"))) {
      assertThat(forgotten.path()).exists();
    }

    LocalServer again = serve(data());
    assertThat(get(again, RIDGE + "/files/a.csv").body()).isEqualTo("in the store");
    assertThat(get(again, RIDGE + "/files/a-by-hand.csv").body()).isEqualTo("by hand");
  }

  @Test
  void whatNoStoreTakesIsLeftAlone() throws Exception {
    LocalServer server = serve(data());
    put(server, "a.csv", "first", null);
    Path secret = Files.writeString(folder.resolve("secret"), "x");
    Files.createSymbolicLink(file("link.csv"), secret);
    Files.writeString(file(".hidden"), "x");
    Files.writeString(file("back\\slash.csv"), "x");

    assertThat(get(server, RIDGE).statusCode()).isEqualTo(200);
    assertThat(file("link.csv")).isSymbolicLink();
    assertThat(file("back\\slash.csv")).hasContent("x");
    assertThat(file("fieldwright/notebook.json"))
        .content()
        .doesNotContain("link.csv", ".hidden", "slash");
  }

  /** As it was before there was a store: folders, no database. */
  @Test
  void plainFoldersAreTakenInAtTheFirstStart() throws Exception {
    Files.createDirectories(file("x").getParent());
    for (String name : List.of("magnet.yaml", "survey.csv")) {
      Files.copy(EXAMPLES.resolve(name), file(name));
    }
    LocalServer server = serve(data());

    assertThat(get(server, "/api/v1/magnets").body()).contains("\"id\":\"ridge\"", "KR-055-07");
    assertThat(get(server, RIDGE + "/surveys/survey.csv/assessment").statusCode()).isEqualTo(200);
    assertThat(get(server, RIDGE).statusCode()).isEqualTo(200);
    assertThat(file("survey.csv")).hasSameBinaryContentAs(EXAMPLES.resolve("survey.csv"));
    assertThat(
            new ObjectMapper().readTree(file("fieldwright/notebook.json").toFile()).path("files"))
        .extracting(f -> f.path("kind").asText() + " " + f.path("path").asText())
        .containsExactly("MAGNET magnet.yaml", "SURVEY survey.csv");
  }

  /** The folder is all that is left of a magnet: its database is gone. */
  @Test
  void aMagnetComesBackFromItsFolderWithItsResults() throws Exception {
    LocalServer server = serve(data());
    for (String name : List.of("magnet.yaml", "survey.csv")) {
      put(server, name, Files.readString(EXAMPLES.resolve(name)), null);
    }
    put(server, "survey-2.csv", Files.readString(EXAMPLES.resolve("survey.csv")), null);
    String compare = RIDGE + "/comparison?before=survey.csv&after=survey-2.csv";
    assertThat(get(server, compare).statusCode()).isEqualTo(200);
    String results = get(server, RIDGE + "/results").body();
    String rows = Files.readString(file("fieldwright/notebook.json"));
    server.close();

    Path other = folder.resolve("other");
    try (Stream<Path> all = Files.walk(data().resolve("magnets"))) {
      for (Path from : all.toList()) {
        Path to = other.resolve("magnets").resolve(data().resolve("magnets").relativize(from));
        Files.createDirectories(to.getParent());
        Files.copy(from, to);
      }
    }
    LocalServer restored = new LocalServer(other, null, Clock.systemUTC(), ZoneOffset.UTC, 0);
    servers.add(restored);
    assertThat(results).contains("\"service\":\"compare\"");
    assertThat(get(restored, RIDGE + "/results").body()).isEqualTo(results);
    assertThat(other.resolve("magnets/ridge/fieldwright/notebook.json")).hasContent(rows);
  }

  String put(LocalServer server, String name, String content, String match) throws Exception {
    HttpResponse<String> answer = send(server, name, content, match);
    assertThat(answer.statusCode()).as(answer.body()).isEqualTo(200);
    return answer.headers().firstValue("ETag").orElseThrow();
  }

  int status(LocalServer server, String name, String content, String match) throws Exception {
    return send(server, name, content, match).statusCode();
  }

  private HttpResponse<String> send(LocalServer server, String name, String content, String match)
      throws Exception {
    HttpRequest.Builder request =
        HttpRequest.newBuilder(uri(server, RIDGE + "/files/" + name))
            .PUT(BodyPublishers.ofString(content, UTF_8));
    if (match != null) {
      request.header("If-Match", match);
    }
    return client.send(request.build(), BodyHandlers.ofString());
  }

  HttpResponse<String> get(LocalServer server, String path) throws Exception {
    return client.send(HttpRequest.newBuilder(uri(server, path)).build(), BodyHandlers.ofString());
  }

  HttpResponse<String> post(LocalServer server, String path, String body) throws Exception {
    return client.send(
        HttpRequest.newBuilder(uri(server, path)).POST(BodyPublishers.ofString(body)).build(),
        BodyHandlers.ofString());
  }

  private static URI uri(LocalServer server, String path) {
    return URI.create("http://localhost:" + server.port() + path);
  }
}
