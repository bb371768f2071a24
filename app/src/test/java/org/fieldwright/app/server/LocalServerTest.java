package org.fieldwright.app.server;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.InputStream;
import java.net.InetAddress;
import java.net.Socket;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpRequest.BodyPublishers;
import java.net.http.HttpResponse;
import java.net.http.HttpResponse.BodyHandlers;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.SplittableRandom;
import org.fieldwright.app.assess.AssessService;
import org.fieldwright.app.assess.AssessmentJson;
import org.fieldwright.app.notebook.NotebookService;
import org.fieldwright.core.harmonic.Normalisation;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.snakeyaml.engine.v2.api.Load;
import org.snakeyaml.engine.v2.api.LoadSettings;

class LocalServerTest {
  private static final Path EXAMPLES = Path.of("..", "docs", "examples");
  private static final String KESTREL = "/api/v1/magnets/kestrel";

  @TempDir Path data;
  private LocalServer server;
  private final HttpClient client = HttpClient.newHttpClient();

  @BeforeEach
  void start() throws IOException {
    server = new LocalServer(data, null, Clock.systemUTC(), java.time.ZoneOffset.UTC, 0);
  }

  @AfterEach
  void stop() {
    server.close();
  }

  @Test
  void assessesAsTheServiceDoes() throws Exception {
    putExample("magnet.yaml");
    putExample("survey.csv");
    var expected =
        AssessmentJson.of(
            new AssessService(Clock.systemUTC())
                .assess(
                    EXAMPLES.resolve("survey.csv"),
                    EXAMPLES.resolve("magnet.yaml"),
                    AssessService.Options.DEFAULT),
            Normalisation.SCHMIDT);

    HttpResponse<String> answer = get(KESTREL + "/surveys/survey.csv/assessment");

    assertThat(answer.statusCode()).isEqualTo(200);
    assertThat(new ObjectMapper().readTree(answer.body()))
        .isEqualTo(new ObjectMapper().readTree(expected.toString()));
    assertThat(get("/api/v1/magnets").body()).contains("\"id\":\"kestrel\"", "KR-055-07");
    assertThat(get(KESTREL).body())
        .contains("{\"file\":\"survey.csv\",\"kind\":\"survey\"}", "\"visits\":[{\"id\":");
    assertThat(get(KESTREL + "/files/survey.csv").body())
        .isEqualTo(Files.readString(EXAMPLES.resolve("survey.csv")));
  }

  @Test
  void whoeverSavesOverAnothersChangeIsTold() throws Exception {
    String first = put("notes.txt", "first", null).headers().firstValue("ETag").orElseThrow();
    assertThat(put("notes.txt", "second", first).statusCode()).isEqualTo(200);

    HttpResponse<String> late = put("notes.txt", "third", first);

    assertThat(late.statusCode()).isEqualTo(412);
    assertThat(put("notes.txt", "unaware", null).statusCode()).isEqualTo(412);
    assertThat(get(KESTREL + "/files/notes.txt").body()).isEqualTo("second");
  }

  @Test
  void refusesForeignHostsAndOrigins() throws Exception {
    String own = "localhost:" + server.port();
    assertThat(raw(head("GET", own, ""))).startsWith("HTTP/1.1 200");
    assertThat(raw(head("GET", own, "Origin: http://" + own + "\r\n"))).startsWith("HTTP/1.1 200");
    for (String host : List.of("kestrel.example", "localhost", "localhost:1", own + ".example")) {
      assertThat(raw(head("GET", host, ""))).as(host).startsWith("HTTP/1.1 403");
    }
    for (String origin : List.of("null", "https://" + own, "http://kestrel.example")) {
      assertThat(raw(head("GET", own, "Origin: " + origin + "\r\n")))
          .as(origin)
          .startsWith("HTTP/1.1 403");
    }
  }

  @Test
  void everyAnswerForbidsForeignContent() throws Exception {
    for (String path : List.of("/", "/nowhere", "/api/v1/about")) {
      var headers = get(path).headers();
      assertThat(headers.firstValue("Content-Security-Policy").orElse(""))
          .contains("default-src 'self'", "frame-ancestors 'none'")
          .doesNotContain("unsafe");
      assertThat(headers.firstValue("X-Content-Type-Options")).hasValue("nosniff");
    }
  }

  @Test
  void noNameLeadsOutOfTheFolder() throws Exception {
    Files.writeString(data.resolve("secret.txt"), "secret");
    for (String name : List.of("..%2F..%2Fsecret.txt", "%2e%2e", ".hidden.txt", "a%00.csv", "a")) {
      assertThat(get(KESTREL + "/files/" + name).statusCode()).as(name).isIn(400, 404, 422);
      assertThat(put(name, "x", null).statusCode()).as(name).isIn(400, 404, 422);
    }
    try (var inside = Files.list(data)) {
      assertThat(
              inside
                  .map(p -> p.getFileName().toString())
                  .filter(name -> !name.startsWith("fieldwright.db")))
          .containsExactly("secret.txt");
    }
  }

  @Test
  void refusesWhatIsTooLargeAndKeepsNothingOfIt() throws Exception {
    HttpResponse<String> answer = put("big.csv", "1".repeat(LocalServer.LARGEST + 1), null);

    assertThat(answer.statusCode()).isEqualTo(413);
    assertThat(data.resolve("magnets")).doesNotExist();
  }

  @Test
  void explainsASurveyThatCannotBeRead() throws Exception {
    putExample("magnet.yaml");
    put("survey.csv", "what,is,this\n1,2,3\n", null);

    HttpResponse<String> answer = get(KESTREL + "/surveys/survey.csv/assessment");

    assertThat(answer.statusCode()).isEqualTo(422);
    assertThat(answer.headers().firstValue("Content-Type")).hasValue("application/problem+json");
    assertThat(answer.body()).contains("survey.csv").doesNotContain(data.toString());
    assertThat(get(KESTREL + "/surveys/survey.csv/assessment?degree=x").statusCode())
        .isEqualTo(422);
  }

  /** Every route is described, and everything described is a route (OpenAPI 3.1, "paths"). */
  @Test
  @SuppressWarnings("unchecked")
  void theDescriptionNamesExactlyTheRoutes() throws Exception {
    var document =
        (Map<String, Object>)
            new Load(LoadSettings.builder().build())
                .loadFromString(get("/api/v1/openapi.yaml").body());
    List<String> described = new ArrayList<>();
    ((Map<String, Map<String, Object>>) document.get("paths"))
        .forEach(
            (path, operations) ->
                operations.keySet().stream()
                    .filter(Set.of("get", "put", "post", "delete", "patch")::contains)
                    .forEach(m -> described.add(m.toUpperCase(Locale.ROOT) + " " + path)));

    try (NotebookService notebook = NotebookService.open(data, null, Clock.systemUTC())) {
      Desk desk = Desk.over(notebook, data, Clock.systemUTC(), java.time.ZoneOffset.UTC);
      assertThat(new Routes(desk).all())
          .extracting(r -> r.method() + " " + r.path())
          .containsExactlyInAnyOrderElementsOf(described);
    }
  }

  /** Bytes of a good request with some of them replaced; afterwards the server still answers. */
  @Test
  void survivesMalformedRequests() throws Exception {
    long seed = 20261125;
    SplittableRandom random = new SplittableRandom(seed);
    byte[] good =
        head("PUT", "localhost:" + server.port(), "Content-Length: 3\r\n").getBytes(UTF_8);
    for (int i = 0; i < 10_000; i++) {
      byte[] bad = good.clone();
      for (int k = 0; k < 1 + i % 8; k++) {
        bad[random.nextInt(bad.length)] = (byte) random.nextInt(256);
      }
      try (Socket socket = new Socket(InetAddress.getLoopbackAddress(), server.port())) {
        socket.getOutputStream().write(bad, 0, 1 + random.nextInt(bad.length));
      }
    }
    assertThat(get("/api/v1/about").statusCode()).as("seed %d", seed).isEqualTo(200);
  }

  /** Clients that say half a word and wait hold up nobody else. */
  @Test
  void slowClientsKeepNobodyWaiting() throws Exception {
    List<Socket> slow = new ArrayList<>();
    try {
      for (int i = 0; i < 20; i++) {
        Socket socket = new Socket(InetAddress.getLoopbackAddress(), server.port());
        socket.getOutputStream().write("GET /api/v1/ab".getBytes(UTF_8));
        slow.add(socket);
      }
      assertThat(get("/api/v1/about").statusCode()).isEqualTo(200);
    } finally {
      for (Socket socket : slow) {
        socket.close();
      }
    }
  }

  private static String head(String method, String host, String more) {
    return method
        + " /api/v1/about HTTP/1.1\r\nHost: "
        + host
        + "\r\n"
        + more
        + "Connection: close\r\n\r\n";
  }

  private String raw(String request) throws IOException {
    try (Socket socket = new Socket(InetAddress.getLoopbackAddress(), server.port())) {
      socket.getOutputStream().write(request.getBytes(UTF_8));
      InputStream in = socket.getInputStream();
      return new String(in.readAllBytes(), UTF_8);
    }
  }

  private void putExample(String file) throws Exception {
    String content = Files.readString(EXAMPLES.resolve(file));
    assertThat(put(file, content, null).statusCode()).isEqualTo(200);
  }

  private HttpResponse<String> put(String file, String content, String match) throws Exception {
    HttpRequest.Builder request =
        HttpRequest.newBuilder(at(KESTREL + "/files/" + file))
            .PUT(BodyPublishers.ofString(content));
    if (match != null) {
      request.header("If-Match", match);
    }
    return client.send(request.build(), BodyHandlers.ofString());
  }

  private HttpResponse<String> get(String path) throws Exception {
    return client.send(HttpRequest.newBuilder(at(path)).build(), BodyHandlers.ofString());
  }

  private URI at(String path) {
    return URI.create("http://localhost:" + server.port() + path);
  }
}
