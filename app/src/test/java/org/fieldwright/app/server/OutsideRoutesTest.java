package org.fieldwright.app.server;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStream;
import java.io.InputStreamReader;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpRequest.BodyPublishers;
import java.net.http.HttpResponse;
import java.net.http.HttpResponse.BodyHandlers;
import java.nio.file.Path;
import java.time.Clock;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Looking for iron outside, watched and stopped over HTTP, in the sample magnet's survey. */
class OutsideRoutesTest {
  private static final HttpClient CLIENT = HttpClient.newHttpClient();
  private static final String LOOKS = "/api/v1/magnets/kestrel-ridge/outside-searches";
  private static final String LOOK = "/api/v1/outside-searches/";

  @TempDir static Path data;
  private static LocalServer server;

  @BeforeAll
  static void start() throws Exception {
    server = new LocalServer(data, null, Clock.systemUTC(), ZoneOffset.UTC, 0);
    assertThat(post("/api/v1/sample", "").statusCode()).isBetween(200, 202);
  }

  @AfterAll
  static void stop() {
    server.close();
  }

  @Test
  void itIsFollowedToItsAnswer() throws Exception {
    JsonNode begun = begun("{\"survey\":\"survey-1.csv\",\"degree\":6}");
    assertThat(begun.path("answer").isNull()).isTrue();
    List<String> stages = new ArrayList<>();
    JsonNode last = followed(begun, now -> stages.add(now.path("stage").asText()));

    assertThat(last.path("state").asText()).isEqualTo("done");
    assertThat(stages).anyMatch(s -> s.startsWith("Looking for 1 outside"));
    JsonNode answer = last.path("answer");
    assertThat(answer.path("basis").asText()).isEqualTo("one_survey");
    assertThat(answer.path("survey").asText()).isEqualTo("survey-1.csv");
    assertThat(answer.path("since").isNull()).isTrue();
    assertThat(answer.path("verdict").asText()).isEqualTo("nothing_seen");
    assertThat(answer.path("stopped").asBoolean()).isFalse();
    assertThat(answer.at("/bore/radius_mm").asDouble()).isPositive();
    assertThat(get(LOOK + begun.path("id").asText()).path("answer")).isEqualTo(answer);
  }

  /** With the degree left to the evidence it goes through seconds of stages. */
  @Test
  void stoppedItAnswersWithTheBestSoFarAndSaysSo() throws Exception {
    JsonNode first = begun("{\"survey\":\"survey-1.csv\",\"since\":null}");
    JsonNode second = begun("{\"survey\":\"survey-1.csv\"}");
    assertThat(second.path("state").asText()).isEqualTo("waiting");
    stopped(second);
    JsonNode last =
        followed(
            first,
            now -> {
              if (!now.path("stage").asText().isEmpty()) {
                stopped(first);
              }
            });

    assertThat(last.path("state").asText()).isEqualTo("done");
    JsonNode answer = last.path("answer");
    assertThat(answer.path("stopped").asBoolean()).isTrue();
    assertThat(answer.path("warnings").toString()).contains("The search was stopped");
    assertThat(answer.path("evidence")).isNotEmpty();
    assertThat(followed(second, now -> {}).path("complaint").asText())
        .isEqualTo("stopped before it began");
    assertThat(get(LOOKS).path("searches").findValuesAsText("id"))
        .contains(first.path("id").asText(), second.path("id").asText());
  }

  @Test
  void whatCannotBeMeantIsRefused() throws Exception {
    assertThat(post(LOOKS, "{\"survey\":\"none.csv\"}").statusCode()).isEqualTo(404);
    assertThat(post(LOOKS, "{}").statusCode()).isEqualTo(422);
    assertThat(post(LOOKS, "{\"survey\":\"survey-1.csv\",\"degree\":0}").body())
        .contains("degree: found 0; right is 1 to");
    assertThat(post(LOOK + "search-99/stop", "").statusCode()).isEqualTo(404);
  }

  private static JsonNode begun(String asked) throws Exception {
    HttpResponse<String> answer = post(LOOKS, asked);
    assertThat(answer.statusCode()).as(answer.body()).isEqualTo(202);
    return new ObjectMapper().readTree(answer.body());
  }

  private static void stopped(JsonNode look) throws Exception {
    assertThat(post(LOOK + look.path("id").asText() + "/stop", "").statusCode()).isEqualTo(200);
  }

  private interface Hearing {
    void hear(JsonNode now) throws Exception;
  }

  /** The last of its events. */
  private static JsonNode followed(JsonNode look, Hearing each) throws Exception {
    JsonNode last = look;
    URI events = uri(LOOK + look.path("id").asText() + "/events");
    try (InputStream in =
            CLIENT
                .send(HttpRequest.newBuilder(events).build(), BodyHandlers.ofInputStream())
                .body();
        BufferedReader lines = new BufferedReader(new InputStreamReader(in, UTF_8))) {
      for (String line = lines.readLine(); line != null; line = lines.readLine()) {
        if (line.startsWith("data: ")) {
          last = new ObjectMapper().readTree(line.substring("data: ".length()));
          each.hear(last);
        }
      }
    }
    return last;
  }

  private static URI uri(String path) {
    return URI.create("http://localhost:" + server.port() + path);
  }

  private static JsonNode get(String path) throws IOException, InterruptedException {
    HttpResponse<String> answer =
        CLIENT.send(HttpRequest.newBuilder(uri(path)).build(), BodyHandlers.ofString());
    assertThat(answer.statusCode()).as(answer.body()).isEqualTo(200);
    return new ObjectMapper().readTree(answer.body());
  }

  private static HttpResponse<String> post(String path, String body)
      throws IOException, InterruptedException {
    return CLIENT.send(
        HttpRequest.newBuilder(uri(path)).POST(BodyPublishers.ofString(body)).build(),
        BodyHandlers.ofString());
  }
}
