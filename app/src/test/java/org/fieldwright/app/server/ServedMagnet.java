package org.fieldwright.app.server;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.InputStream;
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
import java.util.List;
import java.util.function.Predicate;

/** The magnet of the demonstration served, spoken to over HTTP alone. */
final class ServedMagnet implements AutoCloseable {
  private static final HttpClient CLIENT = HttpClient.newHttpClient();
  private static final String MAGNET = "/api/v1/magnets/rig";

  private final Path data;
  private final Path folder;
  private LocalServer server;

  /**
   * Starts the server.
   *
   * @param changes pairs of what to replace in the files of the magnet, and by what
   */
  ServedMagnet(Path data, String... changes) throws IOException {
    this.data = data;
    folder = Files.createDirectories(data.resolve("magnets/rig"));
    for (String name : List.of("magnet.yaml", "installed.csv", "scenario.yaml")) {
      try (InputStream in = ServedMagnet.class.getResourceAsStream("/demo/" + name)) {
        String text = new String(in.readAllBytes(), UTF_8);
        text = text.replace("seconds_per_reading: 1.5", "seconds_per_reading: 0");
        for (int i = 0; i < changes.length; i += 2) {
          text = text.replace(changes[i], changes[i + 1]);
        }
        Files.writeString(folder.resolve(name), text);
      }
    }
    server = serve();
  }

  private LocalServer serve() throws IOException {
    return new LocalServer(data, null, Clock.systemUTC(), ZoneOffset.UTC, 0);
  }

  void restart() throws IOException {
    server.close();
    server = serve();
  }

  Path folder() {
    return folder;
  }

  /** What stands at an address below the magnet's. */
  JsonNode get(String path) throws IOException, InterruptedException {
    return new ObjectMapper().readTree(send("GET", path, "").body());
  }

  HttpResponse<String> post(String path, String body) throws IOException, InterruptedException {
    return send("POST", path, body);
  }

  JsonNode until(String path, Predicate<JsonNode> wanted) throws Exception {
    JsonNode state = get(path);
    for (int i = 0; !wanted.test(state); i++) {
      assertThat(i).as(state.toString()).isLessThan(2000);
      Thread.sleep(20);
      state = get(path);
    }
    return state;
  }

  URI uri(String path) {
    return URI.create("http://localhost:" + server.port() + MAGNET + path);
  }

  private HttpResponse<String> send(String method, String path, String body)
      throws IOException, InterruptedException {
    return CLIENT.send(
        HttpRequest.newBuilder(uri(path)).method(method, BodyPublishers.ofString(body)).build(),
        BodyHandlers.ofString());
  }

  @Override
  public void close() {
    server.close();
  }
}
