package org.fieldwright.app.server;

import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import java.io.IOException;
import java.util.List;
import org.fieldwright.app.capture.CaptureRequest;
import org.fieldwright.app.capture.LiveRecording;
import org.fieldwright.app.notebook.RecordingDesk;
import org.fieldwright.app.team.Role;
import org.fieldwright.core.BadInput;

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
    Asked asked =
        Asked.of(
            call,
            "client",
            "reader",
            "probe",
            "current_reader",
            "interval_s",
            "expected_ppm",
            "alarm_ppm",
            "target_MHz",
            "over_s");
    LiveRecording recording =
        recordings.start(
            call.name("magnet"),
            asked.text("client"),
            new RecordingDesk.Asked(
                asked.text("reader"),
                asked.whole("probe"),
                asked.textOrNull("current_reader"),
                asked.number("interval_s", 1),
                asked.number("expected_ppm", CaptureRequest.USUAL_PPM),
                asked.number("alarm_ppm"),
                asked.number("target_MHz"),
                asked.number("over_s")));
    return Answer.json(202, recording.json(), null);
  }

  private Answer resume(Call call) throws IOException {
    Asked asked = Asked.of(call, "client", "log");
    LiveRecording recording =
        recordings.resume(call.name("magnet"), asked.text("client"), asked.text("log"));
    return Answer.json(202, recording.json(), null);
  }

  private Answer keep(Call call) throws IOException {
    Asked asked = Asked.of(call, "client", "log");
    String log = asked.text("log");
    recordings.keep(call.name("magnet"), log);
    return Answer.json(JsonNodeFactory.instance.objectNode().put("log", log));
  }

  private Answer act(Call call) throws IOException {
    Asked asked = Asked.of(call, "client", "action");
    LiveRecording recording = recordings.of(call.name("magnet"));
    String client = asked.text("client");
    String action = asked.text("action");
    switch (action) {
      case "drive" -> recording.drive(client);
      case "stop" -> recording.stop(client);
      default -> throw new BadInput("action: found '%s', which none is called".formatted(action));
    }
    return Answer.json(recording.json());
  }
}
