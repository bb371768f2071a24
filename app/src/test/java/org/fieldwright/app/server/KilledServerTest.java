package org.fieldwright.app.server;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.BufferedReader;
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
import java.util.HashSet;
import java.util.Map;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.TreeMap;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A server killed with signal 9 while it saves and plans has lost nothing it acknowledged. */
class KilledServerTest {
  private static final String SAMPLE = "/api/v1/magnets/kestrel-ridge";
  private static final String SEARCH = "{\"survey\":\"survey-1.csv\",\"seconds\":0.2}";

  @TempDir Path data;
  private final HttpClient client = HttpClient.newHttpClient();
  private final Map<String, String> files = new TreeMap<>();
  private final Set<String> plans = new HashSet<>();

  @Test
  void nothingAcknowledgedIsLostInThreeKills() throws Exception {
    kill(3, new SplittableRandom(21));
  }

  @Test
  @Tag("slow")
  void nothingAcknowledgedIsLostInSixtyKills() throws Exception {
    kill(60, new SplittableRandom(22));
  }

  private void kill(int times, SplittableRandom random) throws Exception {
    for (int i = 0; i < times; i++) {
      saveAndKill(i, 5 + random.nextInt(40), random.nextInt(20_000));
      check(i);
    }
    assertThat(files).hasSizeGreaterThan(5 * times);
  }

  private void saveAndKill(int kill, int saves, int microseconds) throws Exception {
    Process child =
        new ProcessBuilder(
                Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                "-XX:TieredStopAtLevel=1",
                "-cp",
                System.getProperty("java.class.path"),
                ServingChild.class.getName(),
                data.toString())
            .redirectError(ProcessBuilder.Redirect.DISCARD)
            .start();
    try (BufferedReader said = child.inputReader(UTF_8)) {
      int port = Integer.parseInt(said.readLine());
      if (kill == 0) {
        send(port, "POST", "/api/v1/sample", "");
      }
      send(port, "POST", SAMPLE + "/searches", SEARCH);
      for (int i = 0; i < saves; i++) {
        save(port, "note-" + kill + "-" + i + ".csv", "x".repeat(1 + 997 * i));
      }
      for (JsonNode plan : read(port, SAMPLE).path("plans")) {
        plans.add(plan.path("id").asText());
      }
      Thread last = new Thread(() -> untilTheEnd(port, kill));
      last.start();
      TimeUnit.MICROSECONDS.sleep(microseconds);
      child.toHandle().destroyForcibly();
      child.waitFor();
      last.join();
    } finally {
      child.destroyForcibly();
    }
  }

  private void untilTheEnd(int port, int kill) {
    try {
      for (int i = 0; ; i++) {
        save(port, "last-" + kill + "-" + i + ".csv", "y".repeat(1 + 1009 * i));
      }
    } catch (IOException | InterruptedException e) {
      // killed before it answered: the file may be there or not, but never in part
    }
  }

  private void save(int port, String name, String content)
      throws IOException, InterruptedException {
    if (send(port, "PUT", SAMPLE + "/files/" + name, content).statusCode() == 200) {
      files.put(name, content);
    }
  }

  private void check(int kill) throws Exception {
    try (LocalServer server = new LocalServer(data, null, Clock.systemUTC(), ZoneOffset.UTC, 0)) {
      JsonNode magnet = read(server.port(), SAMPLE);
      assertThat(magnet.path("plans").findValuesAsText("id"))
          .as("kill %d", kill)
          .containsAll(plans);
      for (JsonNode plan : magnet.path("plans")) {
        assertThat(plan.at("/plan/planned_ppm").asDouble()).as("kill %d", kill).isPositive();
      }
      Path folder = data.resolve("magnets").resolve("kestrel-ridge");
      for (Map.Entry<String, String> file : files.entrySet()) {
        assertThat(Files.readString(folder.resolve(file.getKey())))
            .as("kill %d, %s", kill, file.getKey())
            .isEqualTo(file.getValue());
      }
      JsonNode results = read(server.port(), SAMPLE + "/results").path("results");
      assertThat(results).as("one for each plan").hasSize(magnet.path("plans").size());
      assertThat(magnet.toString())
          .as("kill %d: nobody's hand was in it", kill)
          .doesNotContain("by-hand");
    }
  }

  private JsonNode read(int port, String path) throws IOException, InterruptedException {
    return new ObjectMapper().readTree(send(port, "GET", path, "").body());
  }

  private HttpResponse<String> send(int port, String method, String path, String body)
      throws IOException, InterruptedException {
    return client.send(
        HttpRequest.newBuilder(URI.create("http://localhost:" + port + path))
            .method(method, BodyPublishers.ofString(body))
            .build(),
        BodyHandlers.ofString());
  }
}
