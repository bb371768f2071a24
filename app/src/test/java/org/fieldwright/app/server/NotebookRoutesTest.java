package org.fieldwright.app.server;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

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
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import org.fieldwright.adapters.files.InputDigest;
import org.fieldwright.app.evidence.VerifyService;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What the page does, through the HTTP API alone, on the sample magnet. */
class NotebookRoutesTest {
  private static final String SAMPLE = "/api/v1/magnets/kestrel-ridge";
  private static final String SURVEY = SAMPLE + "/surveys/survey-1.csv";

  @TempDir static Path data;
  private static LocalServer server;
  private static final HttpClient CLIENT = HttpClient.newHttpClient();

  @BeforeAll
  static void start() throws Exception {
    server = new LocalServer(data, null, Clock.systemUTC(), ZoneOffset.UTC, 0);
    assertThat(post("/api/v1/sample", "").path("id").asText()).isEqualTo("kestrel-ridge");
  }

  @AfterAll
  static void stop() {
    server.close();
  }

  @Test
  void theSampleHasOneVisitWithASurveyAndALog() throws Exception {
    JsonNode magnet = get(SAMPLE);

    assertThat(magnet.path("visits")).hasSize(1);
    assertThat(magnet.at("/visits/0/id").asText()).isEqualTo("2026-03-10");
    assertThat(magnet.at("/visits/0/surveys/0/file").asText()).isEqualTo("survey-1.csv");
    assertThat(magnet.at("/visits/0/logs/0/file").asText()).isEqualTo("log-1.csv");
    assertThat(get(SAMPLE + "/history").at("/surveys/0/limits/0/verdict").asText())
        .isEqualTo("not_met");
    assertThat(get(SAMPLE + "/bore").path("pockets")).hasSize(24 * 9);
    assertThat(get(SAMPLE + "/logs/log-1.csv/series?stretches=50").path("time_h").size())
        .isBetween(40, 50);
    assertThat(post("/api/v1/sample", "").path("id").asText()).isEqualTo("kestrel-ridge");
  }

  @Test
  void everyReadingIsShownWithWhatBecameOfIt() throws Exception {
    JsonNode survey = get(SURVEY + "/assessment").path("survey");
    JsonNode readings = get(SURVEY + "/readings");
    List<String> states = new ArrayList<>();
    readings.path("state").forEach(s -> states.add(s.asText()));

    assertThat(states).hasSize(survey.path("readings").asInt());
    assertThat(states.stream().filter("used"::equals)).hasSize(survey.path("used").asInt());
    assertThat(states.stream().filter("revisit"::equals)).hasSize(survey.path("revisits").asInt());
  }

  /** One field seen three ways: over the sphere, along z, and by its extremes. */
  @Test
  void thePicturesAgree() throws Exception {
    JsonNode sphere = get(SURVEY + "/surface?limit=imaging");
    JsonNode alongZ = get(SURVEY + "/profile?polar_deg=0");
    JsonNode byRadius = get(SURVEY + "/by-radius");
    JsonNode limits = get(SURVEY + "/limits").path("limits");
    double high = Double.NEGATIVE_INFINITY;
    double low = Double.POSITIVE_INFINITY;
    for (JsonNode v : sphere.path("ppm")) {
      high = Math.max(high, v.asDouble());
      low = Math.min(low, v.asDouble());
    }
    double found = limits.path(0).path("value_ppm").asDouble();

    assertThat(alongZ.path("ppm").path(120).asDouble())
        .isCloseTo(sphere.path("ppm").path(0).asDouble(), within(1e-3));
    assertThat(high - low).isLessThanOrEqualTo(found + 1e-3).isGreaterThan(0.99 * found);
    assertThat(byRadius.path("peak_to_peak").path("ppm").path(15).asDouble())
        .isCloseTo(found, within(1e-3));
  }

  @Test
  void aTermCanBeTakenOut() throws Exception {
    double z = 0;
    for (JsonNode t : get(SURVEY + "/assessment").at("/harmonics/terms")) {
      z = t.path("name").asText().equals("Z") ? t.path("value").asDouble() : z;
    }
    JsonNode with = get(SURVEY + "/profile?polar_deg=0").path("ppm");
    JsonNode without = get(SURVEY + "/profile?polar_deg=0&without=1,0,cos").path("ppm");

    assertThat(with.path(120).asDouble() - without.path(120).asDouble())
        .isCloseTo(z, within(1e-3)); // P_10 at the pole is 1
    assertThat(status("GET", SURVEY + "/limits?without=3,4,cos", "")).isEqualTo(422);
    assertThat(status("GET", SURVEY + "/limits?wihtout=1,0,cos", "")).isEqualTo(422);
  }

  @Test
  void aDecisionHoldsForEverythingAndWhoeverDecidesOverAnothersIsTold() throws Exception {
    put(SAMPLE + "/files/survey-9.csv", Files.readString(file("survey-1.csv")), null);
    String nine = SAMPLE + "/surveys/survey-9.csv";
    int used = get(nine + "/assessment").at("/survey/used").asInt();

    HttpResponse<String> first =
        put(nine + "/choices", "{\"degree\":12,\"leave_out\":[300,301],\"keep\":[]}", null);
    HttpResponse<String> other =
        put(nine + "/choices", "{\"degree\":null,\"leave_out\":[],\"keep\":[]}", null);

    assertThat(first.statusCode()).isEqualTo(200);
    assertThat(other.statusCode()).isEqualTo(412);
    assertThat(get(nine + "/assessment").at("/survey/used").asInt()).isEqualTo(used - 2);
    String tag = first.headers().firstValue("ETag").orElseThrow();
    assertThat(put(nine + "/choices", "{\"degree\":null}", tag).statusCode()).isEqualTo(200);
    assertThat(get(nine + "/assessment").at("/survey/used").asInt()).isEqualTo(used);
    assertThat(put(nine + "/choices", "{\"keep\":[0]}", tag).statusCode()).isEqualTo(422);
  }

  @Test
  void anUnknownHeaderIsGuessedConfirmedAndRemembered() throws Exception {
    String foreign =
        Files.readString(file("survey-1.csv"))
            .replace("angle_deg,probe,frequency_MHz", "Winkel [deg],Sonde Nr,Larmor");
    put(SAMPLE + "/files/foreign.csv", foreign, null);
    put(SAMPLE + "/files/foreign-too.csv", foreign, null);
    String columns = SAMPLE + "/tables/foreign.csv/columns";
    JsonNode preview = get(columns);
    List<String> guesses = new ArrayList<>();
    preview.path("columns").forEach(c -> guesses.add(c.path("guess").asText()));

    assertThat(guesses)
        .containsExactly(
            "angle_deg", "probe", "frequency_MHz", "sd_Hz", "averages", "locked", "time");
    assertThat(preview.path("remembered").asBoolean()).isFalse();
    String confirmed = new ObjectMapper().writeValueAsString(java.util.Map.of("columns", guesses));
    String name = post(columns, confirmed).path("file").asText();
    assertThat(get(SAMPLE + "/surveys/" + name + "/assessment").at("/survey/readings").asInt())
        .isEqualTo(600);
    assertThat(get(SAMPLE + "/tables/foreign-too.csv/columns").path("remembered").asBoolean())
        .isTrue();
    assertThat(status("POST", columns, "{\"columns\":[\"probe\",\"probe\"]}")).isEqualTo(422);
  }

  @Test
  void aPlanIsSearchedWatchedStoppedLoadedAndCompared() throws Exception {
    JsonNode search = post(SAMPLE + "/searches", "{\"survey\":\"survey-1.csv\",\"seconds\":600}");
    String id = search.path("id").asText();
    JsonNode last = null;
    try (InputStream events = stream("/api/v1/searches/" + id + "/events");
        BufferedReader lines = new BufferedReader(new InputStreamReader(events, UTF_8))) {
      for (String line = lines.readLine(); line != null; line = lines.readLine()) {
        if (line.startsWith("data: ")) {
          last = new ObjectMapper().readTree(line.substring("data: ".length()));
          if (last.path("best_ppm").isNumber()) {
            post("/api/v1/searches/" + id + "/stop", "");
          }
        }
      }
    }
    assertThat(last).isNotNull();
    assertThat(last.path("state").asText()).isEqualTo("done");
    assertThat(last.path("bound_ppm").asDouble()).isBetween(4.0, 6.0);
    String plan = java.util.Objects.requireNonNull(last).path("plan").asText();
    String changes = plan + ".csv";
    JsonNode kept = get(SAMPLE).path("plans");
    assertThat(kept.findValuesAsText("changes")).contains(changes);

    JsonNode predicted = get(SURVEY + "/limits?changes=" + changes).path("limits");
    assertThat(predicted.path(0).path("value_ppm").asDouble()).isLessThan(60);
    assertThat(
            post(SAMPLE + "/rounds", "{\"changes\":\"" + changes + "\",\"by\":\"A. Tester\"}")
                .at("/rounds/0/round")
                .asInt())
        .isEqualTo(1);
    String again =
        post(SAMPLE + "/rehearsal", "{\"changes\":\"" + changes + "\"}").path("file").asText();
    JsonNode comparison =
        get(SAMPLE + "/comparison?before=survey-1.csv&after=" + again + "&changes=" + changes);
    // The scenario's steel is 0.8 % weaker than its data sheet says.
    for (JsonNode strength : comparison.at("/loaded/strengths")) {
      assertThat(strength.path("factor").asDouble()).isBetween(0.97, 1.02);
    }
    papers(changes, again);
    everythingIsKept(changes, again);
  }

  /** Each result with its inputs, and all of it in plain files beside the magnet's own. */
  private static void everythingIsKept(String changes, String after) throws Exception {
    JsonNode results = get(SAMPLE + "/results").path("results");
    assertThat(results.findValuesAsText("service"))
        .contains("shim", "loaded", "compare", "evidence");
    JsonNode rows = new ObjectMapper().readTree(file("fieldwright/notebook.json").toFile());
    JsonNode round = rows.path("rounds").path(0);
    assertThat(round.path("visit").asText()).isEqualTo("2026-03-10");
    assertThat(round.path("before").asText()).isEqualTo("survey-1.csv");
    assertThat(round.path("plan").asText()).isEqualTo(changes);
    assertThat(round.path("loaded").asText()).isEqualTo("loadings.csv");
    assertThat(round.path("after").asText()).isEqualTo(after);
    for (JsonNode r : results) {
      byte[] answer = bytes("GET", SAMPLE + "/results/" + r.path("id").asText());
      assertThat(file("fieldwright/contents/" + r.path("answer_sha256").asText()))
          .hasBinaryContent(answer);
      assertThat(r.path("inputs").findValuesAsText("file"))
          .contains("magnet.yaml", "installed.csv");
      for (JsonNode input : r.path("inputs")) {
        assertThat(
                InputDigest.sha256(file("fieldwright/contents/" + input.path("sha256").asText())))
            .isEqualTo(input.path("sha256").asText());
      }
      if (r.path("service").asText().equals("shim")) {
        assertThat(r.path("seed").asLong()).isEqualTo(1);
        assertThat(r.path("iterations").isIntegralNumber()).isTrue();
        assertThat(r.at("/options/survey").asText()).isEqualTo("survey-1.csv");
      }
    }
    get(SAMPLE + "/comparison?before=survey-1.csv&after=" + after + "&changes=" + changes);
    assertThat(get(SAMPLE + "/results").path("results"))
        .as("looked at twice")
        .hasSameSizeAs(results);
  }

  /** Every plan of the curve is kept as one that can be loaded, the best one in front. */
  @Test
  void whatUniformityCostsIsFoundInOneCall() throws Exception {
    String body = "{\"survey\":\"survey-1.csv\",\"seconds\":0.2,\"trade_off\":true}";
    JsonNode search = post(SAMPLE + "/searches", body);
    assertThat(search.path("seconds_asked").asDouble()).isCloseTo(11 * 0.2, within(1e-9));
    String at = "/api/v1/searches/" + search.path("id").asText();
    try (InputStream events = stream(at + "/events");
        BufferedReader lines = new BufferedReader(new InputStreamReader(events, UTF_8))) {
      for (String line = lines.readLine(); line != null; line = lines.readLine()) {
        if (line.contains("fewer pockets")) {
          post(at + "/stop", ""); // the third plan is under way, and all eleven take minutes
        }
      }
    }
    String first = get(at).path("plan").asText();
    List<String> goals = new ArrayList<>();
    for (JsonNode kept : get(SAMPLE).path("plans")) {
      if (kept.at("/plan/asked/trade_off").asBoolean()) {
        goals.add(kept.at("/plan/goal").asText());
        if (kept.path("id").asText().equals(first)) {
          assertThat(kept.at("/plan/goal").asText()).isEqualTo("peak-to-peak");
        }
      }
    }
    assertThat(goals).contains("peak-to-peak", "least-iron", "fewest-pockets");
  }

  private static void papers(String changes, String after) throws Exception {
    String query = "?survey=survey-1.csv&changes=" + changes + "&after=" + after;
    assertThat(bytes("GET", SAMPLE + "/report" + query)).startsWith("%PDF-".getBytes(UTF_8));
    assertThat(bytes("GET", SAMPLE + "/sheet?format=csv&changes=" + changes))
        .asString(UTF_8)
        .contains("tray");
    Path bundle =
        Files.write(data.resolve("evidence.zip"), bytes("POST", SAMPLE + "/evidence" + query));
    assertThat(new VerifyService().verify(bundle, null).differences()).isEmpty();
  }

  private static Path file(String name) {
    return data.resolve("magnets").resolve("kestrel-ridge").resolve(name);
  }

  private static URI uri(String path) {
    return URI.create("http://localhost:" + server.port() + path);
  }

  private static JsonNode get(String path) throws IOException, InterruptedException {
    HttpResponse<String> answer =
        CLIENT.send(HttpRequest.newBuilder(uri(path)).build(), BodyHandlers.ofString());
    assertThat(answer.statusCode()).as(path + " " + answer.body()).isEqualTo(200);
    return new ObjectMapper().readTree(answer.body());
  }

  private static InputStream stream(String path) throws IOException, InterruptedException {
    return CLIENT
        .send(HttpRequest.newBuilder(uri(path)).build(), BodyHandlers.ofInputStream())
        .body();
  }

  private static JsonNode post(String path, String body) throws IOException, InterruptedException {
    HttpResponse<String> answer = send("POST", path, body);
    assertThat(answer.statusCode()).as(path + " " + answer.body()).isBetween(200, 202);
    return new ObjectMapper().readTree(answer.body());
  }

  private static int status(String method, String path, String body)
      throws IOException, InterruptedException {
    return send(method, path, body).statusCode();
  }

  private static HttpResponse<String> send(String method, String path, String body)
      throws IOException, InterruptedException {
    return CLIENT.send(
        HttpRequest.newBuilder(uri(path)).method(method, BodyPublishers.ofString(body)).build(),
        BodyHandlers.ofString());
  }

  private static byte[] bytes(String method, String path) throws IOException, InterruptedException {
    HttpResponse<byte[]> answer =
        CLIENT.send(
            HttpRequest.newBuilder(uri(path)).method(method, BodyPublishers.noBody()).build(),
            BodyHandlers.ofByteArray());
    assertThat(answer.statusCode()).as(new String(answer.body(), UTF_8)).isEqualTo(200);
    return answer.body();
  }

  private static HttpResponse<String> put(String path, String body, String tag)
      throws IOException, InterruptedException {
    HttpRequest.Builder request =
        HttpRequest.newBuilder(uri(path)).PUT(BodyPublishers.ofString(body));
    if (tag != null) {
      request.header("If-Match", tag);
    }
    return CLIENT.send(request.build(), BodyHandlers.ofString());
  }
}
