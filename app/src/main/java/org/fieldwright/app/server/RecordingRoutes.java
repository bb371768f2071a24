package org.fieldwright.app.server;

import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.util.List;
import java.util.Set;
import org.fieldwright.app.capture.CaptureRequest;
import org.fieldwright.app.capture.LiveRecording;
import org.fieldwright.app.notebook.RecordingDesk;
import org.fieldwright.app.team.Role;
import org.fieldwright.core.BadInput;
import org.jspecify.annotations.Nullable;

/** A field log while it is recorded. */
final class RecordingRoutes {
  private static final String RECORDING = "/api/v1/magnets/{magnet}/recording";

  private final RecordingDesk recordings;

  RecordingRoutes(RecordingDesk recordings) {
    this.recordings = recordings;
  }

  List<Route> all() {
    return List.of(
        new Route(
            "GET", RECORDING, Role.SEE, call -> Answer.json(recordings.json(call.name("magnet")))),
        new Route("POST", RECORDING, Role.MEASURE, this::start),
        new Route("POST", RECORDING + "/resume", Role.MEASURE, this::resume),
        new Route("POST", RECORDING + "/keep", Role.MEASURE, this::keep),
        new Route("POST", RECORDING + "/actions", Role.MEASURE, this::act),
        new Route(
            "GET",
            RECORDING + "/events",
            Role.SEE,
            call -> Answer.following(recordings.of(call.name("magnet")))));
  }

  private Answer start(Call call) throws IOException {
    ObjectNode asked =
        PlanRoutes.object(
            call.body(),
            Set.of(
                "client",
                "reader",
                "probe",
                "current_reader",
                "interval_s",
                "expected_ppm",
                "alarm_ppm",
                "target_MHz",
                "over_s"));
    LiveRecording recording =
        recordings.start(
            call.name("magnet"),
            CaptureRoutes.text(asked, "client"),
            new RecordingDesk.Asked(
                CaptureRoutes.text(asked, "reader"),
                PlanRoutes.whole(asked, "probe"),
                orNull(asked.path("current_reader").asText("")),
                CaptureRoutes.number(asked, "interval_s", 1),
                CaptureRoutes.number(asked, "expected_ppm", CaptureRequest.USUAL_PPM),
                PlanRoutes.number(asked, "alarm_ppm"),
                PlanRoutes.number(asked, "target_MHz"),
                PlanRoutes.number(asked, "over_s")));
    return Answer.json(202, recording.json(), null);
  }

  private static @Nullable String orNull(String text) {
    return text.isEmpty() ? null : text;
  }

  private Answer resume(Call call) throws IOException {
    ObjectNode asked = PlanRoutes.object(call.body(), Set.of("client", "log"));
    LiveRecording recording =
        recordings.resume(
            call.name("magnet"),
            CaptureRoutes.text(asked, "client"),
            CaptureRoutes.text(asked, "log"));
    return Answer.json(202, recording.json(), null);
  }

  private Answer keep(Call call) throws IOException {
    ObjectNode asked = PlanRoutes.object(call.body(), Set.of("client", "log"));
    String log = CaptureRoutes.text(asked, "log");
    recordings.keep(call.name("magnet"), log);
    return Answer.json(JsonNodeFactory.instance.objectNode().put("log", log));
  }

  private Answer act(Call call) throws IOException {
    ObjectNode asked = PlanRoutes.object(call.body(), Set.of("client", "action"));
    LiveRecording recording = recordings.of(call.name("magnet"));
    String client = CaptureRoutes.text(asked, "client");
    String action = CaptureRoutes.text(asked, "action");
    switch (action) {
      case "drive" -> recording.drive(client);
      case "stop" -> recording.stop(client);
      default -> throw new BadInput("action: found '%s', which none is called".formatted(action));
    }
    return Answer.json(recording.json());
  }
}
