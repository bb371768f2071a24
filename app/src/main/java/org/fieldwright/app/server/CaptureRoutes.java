package org.fieldwright.app.server;

import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import org.fieldwright.app.capture.Advance;
import org.fieldwright.app.capture.CapturePlan;
import org.fieldwright.app.capture.CaptureRequest;
import org.fieldwright.app.capture.LiveCapture;
import org.fieldwright.app.team.Role;
import org.fieldwright.core.BadInput;

/** A survey while it is taken. */
final class CaptureRoutes {
  private static final String CAPTURE = "/api/v1/magnets/{magnet}/capture";

  private final Desk desk;

  CaptureRoutes(Desk desk) {
    this.desk = desk;
  }

  List<Route> all() {
    return List.of(
        new Route(
            "GET",
            CAPTURE,
            Role.SEE,
            call -> Answer.json(desk.captures().json(call.name("magnet")))),
        new Route("POST", CAPTURE, Role.MEASURE, this::start),
        new Route("POST", CAPTURE + "/resume", Role.MEASURE, this::resume),
        new Route("POST", CAPTURE + "/actions", Role.MEASURE, this::act),
        new Route("GET", CAPTURE + "/events", Role.SEE, this::events));
  }

  private Answer start(Call call) throws IOException {
    Asked asked =
        Asked.of(call, "client", "reader", "angles", "angles_deg", "order", "expected_ppm");
    LiveCapture capture =
        desk.captures()
            .start(
                call.name("magnet"),
                asked.text("client"),
                asked.text("reader"),
                anglesDeg(asked),
                CapturePlan.Order.named(asked.text("order", CapturePlan.Order.NATURAL.word())),
                asked.number("expected_ppm", CaptureRequest.USUAL_PPM));
    return Answer.json(202, capture.json(), null);
  }

  private static List<Double> anglesDeg(Asked asked) {
    if (!asked.has("angles_deg")) {
      return CapturePlan.equalAngles(asked.number("angles", CapturePlan.USUAL_ANGLES));
    }
    List<Double> angles = new ArrayList<>();
    asked.path("angles_deg").forEach(a -> angles.add(a.asDouble(Double.NaN)));
    if (angles.stream().anyMatch(a -> a.isNaN() || a.isInfinite())) {
      throw new BadInput(
          "angles_deg: found %s; right are numbers".formatted(asked.path("angles_deg")));
    }
    CapturePlan.requireDistinct(angles);
    return angles;
  }

  private Answer resume(Call call) throws IOException {
    Asked asked = Asked.of(call, "client", "survey");
    LiveCapture capture =
        desk.captures().resume(call.name("magnet"), asked.text("client"), asked.text("survey"));
    return Answer.json(202, capture.json(), null);
  }

  private Answer act(Call call) throws IOException {
    Asked asked = Asked.of(call, "client", "action", "number", "angle_deg", "advance", "seconds");
    LiveCapture capture = desk.captures().of(call.name("magnet"));
    String client = asked.text("client");
    String action = asked.text("action");
    switch (action) {
      case "drive" -> capture.drive(client);
      case "advance" ->
          capture.advance(
              client,
              new Advance(Advance.Kind.named(asked.text("advance")), asked.number("seconds", 0)));
      case "read" -> capture.read(client, (int) asked.number("number", 0));
      case "undo" -> capture.undo(client);
      case "retake" -> capture.retake(client, asked.number("angle_deg", Double.NaN));
      case "repeat" -> capture.repeatFailed(client, asked.number("angle_deg", Double.NaN));
      case "save" -> capture.save(client);
      case "stop" -> capture.stop(client);
      default -> throw new BadInput("action: found '%s', which none is called".formatted(action));
    }
    return Answer.json(capture.json());
  }

  private Answer events(Call call) throws IOException {
    return Answer.following(desk.captures().of(call.name("magnet")));
  }
}
