package org.fieldwright.app.server;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import com.networknt.schema.InputFormat;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.SpecificationVersion;
import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse.BodyHandlers;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.function.Predicate;
import org.fieldwright.adapters.files.FieldLogFile;
import org.fieldwright.app.simulate.ReaderService;
import org.fieldwright.core.stability.FieldLog;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/** A field recorded through the HTTP API alone; the truth is the scenario of the reader. */
@Timeout(300) // a guard against hanging, not a measurement
class RecordingRoutesTest {
  private static final String RECORDING = "/recording";
  private static final double GAMMA = 42.57638543; // shielded proton, CODATA 2022, MHz/T

  @TempDir Path data;

  /** 36,000 ppm/h are 10 ppm a second: the limit of 3 ppm is left at once. */
  @Test
  void figuresAlarmsAndTheLostLockAreThoseOfTheScenario() throws Exception {
    try (ServedMagnet magnet =
        new ServedMagnet(
            data,
            "drift_ppm_per_hour: 0.08",
            "drift_ppm_per_hour: 36000",
            "# Loaded",
            "reader: {dead_probes: [6]}\n# Loaded")) {
      JsonNode before = magnet.get(RECORDING);
      assertThat(before.path("phase").asText()).isEqualTo("none");
      assertThat(before.path("caution").asText()).contains("drives no power supply");
      assertThat(magnet.get("/recording/events").path("status").asInt()).isEqualTo(404);
      assertThat(begin(magnet, "a", ",\"interval_s\":0,\"alarm_ppm\":3,\"over_s\":8"))
          .isEqualTo(202);
      JsonNode now = until(magnet, s -> s.at("/figures/drift_ppm_per_hour/value").asDouble() > 0);
      assertThat(begin(magnet, "b", "")).as("one at a time").isEqualTo(422);
      assertThat(
              magnet
                  .post("/capture", "{\"client\":\"b\",\"reader\":\"simulated-reader.yaml\"}")
                  .body())
          .contains("the field of this magnet is being recorded");
      assertThat(now.at("/figures/drift_ppm_per_hour/value").asDouble())
          .isCloseTo(
              36000,
              within(4 * now.at("/figures/drift_ppm_per_hour/uncertainty").asDouble() + 720));
      assertThat(now.at("/figures/unlocked_probes").toString()).isEqualTo("[6]");
      assertThat(now.at("/figures/alarms").toString())
          .contains("from its first reading; the limit is 3")
          .contains("the limit \\\"stability\\\" is 0.1 ppm/h");
      assertThat(now.path("said").findValuesAsText("text"))
          .anyMatch(s -> s.startsWith("ALARM: probe 6 does not lock"));
      String schema = Files.readString(Path.of("..", "docs", "schemas", "record.schema.json"));
      assertThat(
              SchemaRegistry.withDefaultDialect(SpecificationVersion.DRAFT_2020_12)
                  .getSchema(schema)
                  .validate(now.path("figures").toString(), InputFormat.JSON))
          .isEmpty();
      JsonNode trace = now.path("trace");
      int last = trace.path("time_s").size() - 1;
      double slope =
          (trace.path("mean_ppm").get(last).asDouble() - trace.path("mean_ppm").get(0).asDouble())
              / (trace.path("time_s").get(last).asDouble()
                  - trace.path("time_s").get(0).asDouble());
      assertThat(slope).isCloseTo(10, within(0.5));
    }
  }

  @Test
  void onlyWhoDrivesEndsItAndThenItIsALogOfTheVisit() throws Exception {
    try (ServedMagnet magnet = new ServedMagnet(data)) {
      begin(magnet, "a", ",\"probe\":12,\"interval_s\":0.05");
      until(magnet, s -> s.at("/figures/readings").asInt() > 10);
      assertThat(act(magnet, "b", "stop")).isEqualTo(422);
      assertThat(act(magnet, "b", "drive")).isEqualTo(200);
      try (BufferedReader events =
          new BufferedReader(
              new InputStreamReader(
                  HttpClient.newHttpClient()
                      .send(
                          HttpRequest.newBuilder(magnet.uri("/recording/events")).build(),
                          BodyHandlers.ofInputStream())
                      .body(),
                  UTF_8))) {
        assertThat(events.readLine()).contains("\"phase\":\"reading\"", "\"trace\":{");
        assertThat(act(magnet, "b", "stop")).isEqualTo(200);
        assertThat(events.lines().filter(l -> l.startsWith("data: ")).toList())
            .last()
            .asString()
            .contains("\"phase\":\"saved\"", "\"log\":\"log-1.csv\"");
      }
      assertThat(act(magnet, "b", "stop")).as("it has ended").isEqualTo(422);
      JsonNode visits = magnet.get("").path("visits");
      assertThat(visits.findValuesAsText("file")).contains("log-1.csv");
      FieldLog log = FieldLogFile.read(magnet.folder().resolve("log-1.csv"), GAMMA);
      assertThat(log.size()).isGreaterThan(10);
      assertThat(log.probe()).containsOnly(12);
      assertThat(magnet.folder().resolve("log-1.csv.recording")).doesNotExist();
    }
  }

  @Test
  void itGoesOnAfterARestartAsItWasBegun() throws Exception {
    try (ServedMagnet magnet = new ServedMagnet(data)) {
      begin(magnet, "a", ",\"probe\":12,\"interval_s\":0.05,\"alarm_ppm\":2.5");
      until(magnet, s -> s.at("/figures/readings").asInt() > 5);
      magnet.restart();
      JsonNode left = magnet.get(RECORDING);
      assertThat(left.path("unfinished").toString()).isEqualTo("[\"log-1.csv\"]");
      assertThat(magnet.get("").path("files").findValuesAsText("file")).contains("scenario.yaml");
      magnet.post("/recording/resume", "{\"client\":\"a\",\"log\":\"log-1.csv\"}");
      JsonNode on = until(magnet, s -> s.at("/figures/readings").asInt() > 10);
      assertThat(on.path("probe").asInt()).isEqualTo(12);
      assertThat(on.path("alarm_ppm").asDouble()).isEqualTo(2.5);
      magnet.restart();
      assertThat(
              magnet
                  .post("/recording/keep", "{\"client\":\"a\",\"log\":\"log-1.csv\"}")
                  .statusCode())
          .isEqualTo(200);
      assertThat(magnet.get(RECORDING).path("unfinished")).isEmpty();
      assertThat(magnet.get("").path("visits").findValuesAsText("file")).contains("log-1.csv");
      assertThat(Files.readString(magnet.folder().resolve("log-1.csv")))
          .contains("# alarm_ppm: 2.5", "# gap: ", "the recording was begun again");
    }
  }

  /** 96 to 100 A in 12 s; the field at 100 A is that of the scenario, so 1 A is its hundredth. */
  @Test
  void aReaderOfCurrentGivesFieldPerAmpereAndTheTimeToTheTarget() throws Exception {
    try (ServedMagnet magnet =
            new ServedMagnet(
                data,
                "# Loaded",
                "reader: {ramp: {from_A: 96, to_A: 100, minutes: 0.2}}\n# Loaded");
        ReaderService reader =
            new ReaderService(magnet.folder().resolve("scenario.yaml"), 0, null)) {
      reader.writeProfile(magnet.folder());
      Files.move(
          magnet.folder().resolve("simulated-reader.yaml"), magnet.folder().resolve("reader.yaml"));
      Files.writeString(
          magnet.folder().resolve("current.yaml"),
          """
          reader: the same machine's current
          transport: {kind: tcp, host: localhost, port: %d}
          read: {ask: "MEASure:CURRent?", answer: [value], value_unit: A}
          """
              .formatted(reader.port()));
      JsonNode known = magnet.get(RECORDING);
      assertThat(known.path("readers").toString())
          .isEqualTo("[\"reader.yaml\",\"simulated-reader.yaml\"]");
      assertThat(known.path("current_readers").toString()).isEqualTo("[\"current.yaml\"]");
      magnet.post(
          RECORDING,
          "{\"client\":\"a\",\"reader\":\"reader.yaml\",\"probe\":12,\"interval_s\":0,"
              + "\"current_reader\":\"current.yaml\",\"target_MHz\":23.5,\"over_s\":8}");
      JsonNode now = until(magnet, s -> s.at("/figures/field_T_per_A/value").asDouble() > 0);
      assertThat(now.at("/figures/field_T_per_A/value").asDouble())
          .isCloseTo(0.0055, within(0.00006));
      assertThat(now.at("/figures/hours_to_target/value").asDouble()).isPositive();
      assertThat(now.path("with_current").asBoolean()).isTrue();
    }
  }

  @Test
  void whatCannotBeReadSaysWhy() throws Exception {
    try (ServedMagnet magnet = new ServedMagnet(data)) {
      assertThat(begin(magnet, "a", ",\"alarm_ppm\":0")).isEqualTo(422);
      assertThat(begin(magnet, "a", ",\"current_reader\":\"none.yaml\"")).isEqualTo(404);
      begin(magnet, "a", ",\"probe\":77");
      JsonNode failed = until(magnet, s -> s.path("phase").asText().equals("failed"));
      assertThat(failed.path("trouble").asText()).contains("found no probe 77");
      assertThat(failed.path("unfinished")).as("nothing was begun").isEmpty();
    }
  }

  private static int begin(ServedMagnet magnet, String client, String more)
      throws IOException, InterruptedException {
    return magnet
        .post(
            RECORDING,
            "{\"client\":\"%s\",\"reader\":\"simulated-reader.yaml\"%s}".formatted(client, more))
        .statusCode();
  }

  private static int act(ServedMagnet magnet, String client, String action)
      throws IOException, InterruptedException {
    return magnet
        .post(
            "/recording/actions", "{\"client\":\"%s\",\"action\":\"%s\"}".formatted(client, action))
        .statusCode();
  }

  private static JsonNode until(ServedMagnet magnet, Predicate<JsonNode> wanted) throws Exception {
    return magnet.until(RECORDING, wanted);
  }
}
