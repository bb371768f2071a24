package org.fieldwright.app.server;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.util.List;
import java.util.Set;
import org.fieldwright.app.capture.CaptureRequest;
import org.fieldwright.app.capture.LiveSeat;
import org.fieldwright.app.capture.SeatRequest;
import org.fieldwright.app.notebook.SeatingDesk;
import org.fieldwright.app.team.Role;
import org.fieldwright.core.BadInput;

/** The array while it is seated. */
final class SeatingRoutes {
  private static final String SEATING = "/api/v1/magnets/{magnet}/seating";

  private final SeatingDesk seatings;

  SeatingRoutes(SeatingDesk seatings) {
    this.seatings = seatings;
  }

  List<Route> all() {
    return List.of(
        new Route(
            "GET", SEATING, Role.SEE, call -> Answer.json(seatings.json(call.name("magnet")))),
        new Route("POST", SEATING, Role.MEASURE, this::start),
        new Route("POST", SEATING + "/actions", Role.MEASURE, this::act),
        new Route(
            "GET",
            SEATING + "/events",
            Role.SEE,
            call -> Answer.following(seatings.of(call.name("magnet")))));
  }

  private Answer start(Call call) throws IOException {
    ObjectNode asked =
        PlanRoutes.object(
            call.body(),
            Set.of(
                "client", "reader", "earlier", "to", "angle_deg", "tolerance_mm", "expected_ppm"));
    LiveSeat seat =
        seatings.start(
            call.name("magnet"),
            CaptureRoutes.text(asked, "client"),
            new SeatingDesk.Asked(
                CaptureRoutes.text(asked, "reader"),
                CaptureRoutes.text(asked, "earlier"),
                asked.path("to").asText(SeatRequest.CENTRE),
                CaptureRoutes.number(asked, "angle_deg", 0),
                CaptureRoutes.number(asked, "tolerance_mm", SeatRequest.USUAL_MM),
                CaptureRoutes.number(asked, "expected_ppm", CaptureRequest.USUAL_PPM)));
    return Answer.json(202, seat.json(), null);
  }

  private Answer act(Call call) throws IOException {
    ObjectNode asked = PlanRoutes.object(call.body(), Set.of("client", "action", "angle_deg"));
    LiveSeat seat = seatings.of(call.name("magnet"));
    String client = CaptureRoutes.text(asked, "client");
    String action = CaptureRoutes.text(asked, "action");
    switch (action) {
      case "drive" -> seat.drive(client);
      case "turned" -> seat.turned(client, CaptureRoutes.number(asked, "angle_deg", Double.NaN));
      case "moved" -> seat.moved(client);
      case "stop" -> seat.stop(client);
      default -> throw new BadInput("action: found '%s', which none is called".formatted(action));
    }
    return Answer.json(seat.json());
  }
}
