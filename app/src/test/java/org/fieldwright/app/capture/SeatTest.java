package org.fieldwright.app.capture;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import com.networknt.schema.InputFormat;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.SpecificationVersion;
import java.io.IOException;
import java.net.InetAddress;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.List;
import java.util.Locale;
import org.fieldwright.adapters.files.ScenarioFile;
import org.fieldwright.adapters.files.SurveyWriter;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.reading.Survey;
import org.fieldwright.core.simulation.Scenario;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/**
 * The array of the demonstration put beside its place in the virtual magnet, whose sources, not the
 * model, make what it reads; the truth is where it was put.
 */
@Timeout(600) // a guard against hanging, not a measurement
class SeatTest {
  @TempDir Path folder;

  private static Path earlier(CaptureRig rig) throws IOException {
    Scenario scenario = ScenarioFile.load(rig.folder().resolve("scenario.yaml")).scenario();
    Survey survey = scenario.take(scenario.surveys().get(0), scenario.installed());
    return Files.write(
        rig.folder().resolve("earlier.csv"),
        SurveyWriter.write(survey, scenario.magnet().array().gammaMHzPerT()));
  }

  private static SeatRequest request(CaptureRig rig, boolean asBefore) throws IOException {
    return new SeatRequest(rig.magnet(), rig.profile(), earlier(rig), asBefore, 0.0005, 900);
  }

  private static void put(CaptureRig rig, Vec3 mm) throws IOException {
    try (Socket socket = new Socket(InetAddress.getLoopbackAddress(), rig.reader().port())) {
      String line =
          String.format(Locale.ROOT, "SIM:POS %.4f,%.4f,%.4f;*OPC?%n", mm.x(), mm.y(), mm.z());
      socket.getOutputStream().write(line.getBytes(StandardCharsets.US_ASCII));
      assertThat(socket.getInputStream().read()).isEqualTo('1');
    }
  }

  private static void holds(JsonNode advice, Vec3 expectedMm) {
    for (JsonNode c : advice.path("components")) {
      JsonNode d = c.path("direction");
      double expected =
          expectedMm.x() * d.get(0).asDouble()
              + expectedMm.y() * d.get(1).asDouble()
              + expectedMm.z() * d.get(2).asDouble();
      assertThat(c.path("move_mm").asDouble())
          .as("%s", c)
          .isCloseTo(expected, within(4 * c.path("uncertainty_mm").asDouble()));
    }
  }

  @Test
  void howFarAndWhichWayIsWhereItWasPut() throws IOException {
    try (CaptureRig rig = new CaptureRig(folder);
        Seat seat = Seat.open(request(rig, true), Clock.systemUTC(), s -> {})) {
      Vec3 at = new Vec3(1.4, -2.2, 3.1);
      put(rig, at);
      SeatAdvice one = seat.read(30);
      holds(one.json(), at.times(-1));
      assertThat(one.seated()).isFalse();
      SeatAdvice two = seat.read(120);
      JsonNode json = two.json();
      holds(json, at.times(-1));
      assertThat(json.path("components").get(0).path("uncertainty_mm").asDouble()).isLessThan(0.4);
      assertThat(json.path("components").get(2).path("uncertainty_mm").asDouble()).isLessThan(0.4);
      assertThat(two.lines().get(0))
          .matches("Move it .* towards 180°, and .* towards 90°, and 3\\.\\d+ ± .* towards −z .*");
      assertThat(json.path("misfit").asDouble()).isLessThan(3);
      String schema = Files.readString(Path.of("..", "docs", "schemas", "seat.schema.json"));
      assertThat(
              SchemaRegistry.withDefaultDialect(SpecificationVersion.DRAFT_2020_12)
                  .getSchema(schema)
                  .validate(json.toString(), InputFormat.JSON))
          .isEmpty();
      seat.moved();
      put(rig, Vec3.ZERO);
      seat.read(30);
      assertThat(seat.read(120).seated()).isTrue();
    }
  }

  /** A person who does as they are told gets there. */
  @Test
  void followingTheWordsSeatsTheArray() throws Exception {
    try (CaptureRig rig = new CaptureRig(folder);
        Seat seat = Seat.open(request(rig, true), Clock.systemUTC(), s -> {})) {
      put(rig, new Vec3(0, 0, -4));
      List<String> said = new ArrayList<>();
      Deque<String> typed = new ArrayDeque<>(List.of("0", "90", "", "180", "what", "90"));
      SeatConversation.Lines lines =
          new SeatConversation.Lines() {
            @Override
            public @Nullable String poll() {
              return typed.poll();
            }

            @Override
            public @Nullable String take() {
              try {
                put(rig, Vec3.ZERO); // the person has moved it
              } catch (IOException e) {
                throw new IllegalStateException(e);
              }
              return "";
            }
          };
      SeatAdvice last = new SeatConversation(seat, lines, said::add, () -> false).run(0);
      assertThat(last.seated()).isTrue();
      assertThat(said)
          .anyMatch(s -> s.matches("(?s)Move it .*[34]\\.\\d+ ± \\S+ mm towards \\+z \\(service.*"))
          .anyMatch(s -> s.startsWith("Seated: within 0.5 mm."))
          .contains("Found 'what', expected an angle such as 90, or stop.");
    }
  }
}
