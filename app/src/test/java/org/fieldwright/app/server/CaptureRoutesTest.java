package org.fieldwright.app.server;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.net.http.HttpResponse.BodyHandlers;
import java.nio.file.Path;
import java.util.List;
import java.util.function.Predicate;
import org.fieldwright.adapters.files.MagnetFile;
import org.fieldwright.adapters.files.SurveyFile;
import org.fieldwright.core.reading.Reading;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/**
 * A survey taken through the HTTP API alone, with the simulated reader in the sample's scenario.
 */
@Timeout(300) // a guard against hanging, not a measurement
class CaptureRoutesTest {
  private static final HttpClient CLIENT = HttpClient.newHttpClient();
  private static final String CAPTURE = "/capture";

  @TempDir Path data;
  private ServedMagnet magnet;

  @BeforeEach
  void start() throws IOException {
    magnet = new ServedMagnet(data, "{probe: 22, angle_deg: 240}", "{probe: 22, angle_deg: 90}");
  }

  @AfterEach
  void stop() {
    magnet.close();
  }

  @Test
  void oneClientDrivesAndNoReadingIsTriggeredTwice() throws Exception {
    assertThat(get().path("phase").asText()).isEqualTo("none");
    assertThat(get().path("readers").toString()).isEqualTo("[\"simulated-reader.yaml\"]");
    begin("a", 4);
    assertThat(begun("b", 4)).isEqualTo(422);
    until(s -> s.path("phase").asText().equals("ready"));
    assertThat(act("b", "read", ",\"number\":1").statusCode()).isEqualTo(422);
    assertThat(act("a", "read", ",\"number\":1").statusCode()).isEqualTo(200);
    assertThat(act("a", "read", ",\"number\":1").statusCode()).as("the key twice").isEqualTo(422);
    JsonNode first = until(s -> s.at("/next/number").asInt() == 2);
    assertThat(first.at("/next/angle_deg").asDouble()).isEqualTo(90);
    assertThat(act("a", "read", ",\"number\":1").statusCode()).as("a late key").isEqualTo(422);
    assertThat(act("b", "drive", "").statusCode()).isEqualTo(200);
    assertThat(act("a", "read", ",\"number\":2").statusCode()).isEqualTo(422);
    assertThat(act("b", "save", "").statusCode()).isEqualTo(422);
    act("b", "read", ",\"number\":2");
    JsonNode second = until(s -> s.at("/next/number").asInt() == 3);
    assertThat(second.at("/said/0/text").asText()).isEqualTo("Repeat 90°: probe 22 did not lock.");
    assertThat(second.at("/angles/1/silent").toString()).isEqualTo("[22]");
    act("b", "repeat", ",\"angle_deg\":90");
    until(s -> s.at("/next/failed_only").asBoolean());
    act("b", "read", ",\"number\":2");
    until(s -> s.at("/next/number").asInt() == 3);
    act("b", "retake", ",\"angle_deg\":0");
    until(s -> s.at("/next/angle_deg").asDouble(-1) == 0);
    act("b", "retake", ",\"angle_deg\":270");
    until(s -> s.path("trouble").asText().equals("retake: 270° was not taken yet"));
  }

  @Test
  void itGoesOnAfterARestartAndBecomesASurveyOfTheFolder() throws Exception {
    begin("a", 4);
    until(s -> s.path("phase").asText().equals("ready"));
    act("a", "read", ",\"number\":1");
    until(s -> s.path("done").asInt() == 1);
    magnet.restart();
    assertThat(get().path("unfinished").toString()).isEqualTo("[\"survey-1.csv\"]");
    magnet.post(CAPTURE + "/resume", "{\"client\":\"c\",\"survey\":\"survey-1.csv\"}");
    until(s -> s.path("phase").asText().equals("ready") && s.path("done").asInt() == 1);
    act("c", "advance", ",\"advance\":\"settled\""); // the simulated array is turned by itself
    JsonNode complete = until(s -> s.path("phase").asText().equals("complete"));
    assertThat(complete.path("done").asInt()).isEqualTo(5);
    act("c", "save", "");
    JsonNode saved = until(s -> s.path("phase").asText().equals("saved"));
    assertThat(saved.path("survey").asText()).isEqualTo("survey-1.csv");
    List<Reading> readings =
        SurveyFile.read(
                magnet.folder().resolve("survey-1.csv"),
                MagnetFile.read(magnet.folder().resolve("magnet.yaml")))
            .readings();
    assertThat(readings).hasSize(5 * 24);
    assertThat(readings.subList(0, 24)).allMatch(r -> r.angleDeg() == 0);
    assertThat(magnet.folder().resolve("survey-1.csv.journal")).doesNotExist();
  }

  @Test
  void theTimerReadsAndStoppingKeepsWhatWasRead() throws Exception {
    assertThat(act("a", "read", ",\"number\":1").statusCode()).isEqualTo(404);
    begin("a", 3);
    assertThat(act("a", "advance", ",\"advance\":\"timer\",\"seconds\":0").statusCode())
        .isEqualTo(422);
    act("a", "advance", ",\"advance\":\"timer\",\"seconds\":1");
    try (BufferedReader events =
        new BufferedReader(
            new InputStreamReader(
                CLIENT
                    .send(
                        HttpRequest.newBuilder(magnet.uri(CAPTURE + "/events")).build(),
                        BodyHandlers.ofInputStream())
                    .body(),
                UTF_8))) {
      String line = events.readLine();
      while (!line.contains("\"done\":2,")) {
        line = events.readLine();
      }
      act("a", "stop", "");
      assertThat(events.lines().filter(l -> l.startsWith("data: ")).toList())
          .last()
          .asString()
          .contains("\"phase\":\"stopped\"");
    }
    assertThat(get().path("unfinished").toString()).isEqualTo("[\"survey-1.csv\"]");
    magnet.post(CAPTURE + "/resume", "{\"client\":\"a\",\"survey\":\"survey-1.csv\"}");
    JsonNode again = until(s -> s.path("phase").asText().equals("ready"));
    assertThat(again.path("done").asInt()).isEqualTo(2);
  }

  private void begin(String client, int angles) throws Exception {
    assertThat(begun(client, angles)).isEqualTo(202);
  }

  private int begun(String client, int angles) throws Exception {
    return magnet
        .post(
            CAPTURE,
            "{\"client\":\"%s\",\"reader\":\"simulated-reader.yaml\",\"angles\":%d}"
                .formatted(client, angles))
        .statusCode();
  }

  private HttpResponse<String> act(String client, String action, String more) throws Exception {
    return magnet.post(
        CAPTURE + "/actions",
        "{\"client\":\"%s\",\"action\":\"%s\"%s}".formatted(client, action, more));
  }

  private JsonNode get() throws Exception {
    return magnet.get(CAPTURE);
  }

  private JsonNode until(Predicate<JsonNode> wanted) throws Exception {
    return magnet.until(CAPTURE, wanted);
  }
}
