package org.fieldwright.app.server;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.net.InetAddress;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import org.fieldwright.app.simulate.ReaderService;
import org.fieldwright.app.simulate.SimulateService;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/** The array seated through the HTTP API alone; the truth is where the simulated one was put. */
@Timeout(300) // a guard against hanging, not a measurement
class SeatingRoutesTest {
  private static final String SEATING = "/seating";

  @TempDir Path data;

  private static void put(ReaderService reader, String mm) throws IOException {
    try (Socket socket = new Socket(InetAddress.getLoopbackAddress(), reader.port())) {
      socket
          .getOutputStream()
          .write(("SIM:POS " + mm + ";*OPC?\n").getBytes(StandardCharsets.US_ASCII));
      assertThat(socket.getInputStream().read()).isEqualTo('1');
    }
  }

  @Test
  void itSaysWhereToUntilTheArrayIsThere() throws Exception {
    try (ServedMagnet magnet = new ServedMagnet(data);
        ReaderService reader =
            new ReaderService(magnet.folder().resolve("scenario.yaml"), 0, null)) {
      Files.move(reader.writeProfile(magnet.folder()), magnet.folder().resolve("reader.yaml"));
      Path out = Files.createDirectory(data.resolve("out"));
      new SimulateService().simulate(magnet.folder().resolve("scenario.yaml"), out);
      Files.move(out.resolve("survey-1.csv"), magnet.folder().resolve("survey-1.csv"));
      put(reader, "0,0,-4");
      assertThat(magnet.get(SEATING).path("phase").asText()).isEqualTo("none");
      assertThat(begin(magnet, "none.csv")).isEqualTo(404);
      assertThat(begin(magnet, "survey-1.csv")).isEqualTo(202);
      JsonNode first = magnet.until(SEATING, s -> s.path("found").asInt() > 1);
      assertThat(first.at("/advice/seated").asBoolean()).isFalse();
      JsonNode along = first.at("/advice/components/2");
      assertThat(along.path("towards").asText()).isEqualTo("+z (service end)");
      assertThat(along.path("move_mm").asDouble())
          .isCloseTo(4, within(4 * along.path("uncertainty_mm").asDouble()));
      assertThat(act(magnet, "a", "moved", "")).as("it is not waited for").isEqualTo(422);
      assertThat(act(magnet, "b", "turned", ",\"angle_deg\":90")).isEqualTo(422);
      assertThat(act(magnet, "a", "turned", "")).isEqualTo(422);
      assertThat(act(magnet, "a", "turned", ",\"angle_deg\":90")).isEqualTo(200);
      JsonNode both = magnet.until(SEATING, s -> s.path("phase").asText().equals("ready"));
      assertThat(both.at("/advice/angles_deg").toString()).isEqualTo("[0.0,90.0]");
      assertThat(both.at("/advice/components").findValues("seen")).allMatch(JsonNode::asBoolean);
      put(reader, "0,0,0");
      act(magnet, "a", "moved", "");
      magnet.until(
          SEATING,
          s ->
              s.path("angle_deg").asDouble() == 90
                  && s.path("found").asInt() > both.path("found").asInt());
      act(magnet, "a", "turned", ",\"angle_deg\":0");
      JsonNode seated = magnet.until(SEATING, s -> s.path("phase").asText().equals("complete"));
      assertThat(seated.at("/advice/seated").asBoolean()).isTrue();
      assertThat(seated.at("/advice/lines/0").asText()).isEqualTo("Seated: within 0.5 mm.");
      assertThat(act(magnet, "a", "turned", ",\"angle_deg\":0")).isEqualTo(422);
      assertThat(begin(magnet, "survey-1.csv")).as("once more").isEqualTo(202);
      assertThat(act(magnet, "a", "stop", "")).isEqualTo(200);
      magnet.until(SEATING, s -> s.path("phase").asText().equals("stopped"));
    }
  }

  private static int begin(ServedMagnet magnet, String earlier) throws Exception {
    return magnet
        .post(
            SEATING,
            "{\"client\":\"a\",\"reader\":\"reader.yaml\",\"earlier\":\"%s\",\"to\":\"as-before\",\"expected_ppm\":900}"
                .formatted(earlier))
        .statusCode();
  }

  private static int act(ServedMagnet magnet, String client, String action, String more)
      throws Exception {
    return magnet
        .post(
            "/seating/actions",
            "{\"client\":\"%s\",\"action\":\"%s\"%s}".formatted(client, action, more))
        .statusCode();
  }
}
