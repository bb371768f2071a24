package org.fieldwright.app.server;

import java.io.IOException;
import java.util.List;
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
    Asked asked =
        Asked.of(
            call, "client", "reader", "earlier", "to", "angle_deg", "tolerance_mm", "expected_ppm");
    LiveSeat seat =
        seatings.start(
            call.name("magnet"),
            asked.text("client"),
            new SeatingDesk.Asked(
                asked.text("reader"),
                asked.text("earlier"),
                asked.text("to", SeatRequest.CENTRE),
                asked.number("angle_deg", 0),
                asked.number("tolerance_mm", SeatRequest.USUAL_MM),
                asked.number("expected_ppm", CaptureRequest.USUAL_PPM)));
    return Answer.json(202, seat.json(), null);
  }

  private Answer act(Call call) throws IOException {
    Asked asked = Asked.of(call, "client", "action", "angle_deg");
    LiveSeat seat = seatings.of(call.name("magnet"));
    String client = asked.text("client");
    String action = asked.text("action");
    switch (action) {
      case "drive" -> seat.drive(client);
      case "turned" -> seat.turned(client, asked.number("angle_deg", Double.NaN));
      case "moved" -> seat.moved(client);
      case "stop" -> seat.stop(client);
      default -> throw new BadInput("action: found '%s', which none is called".formatted(action));
    }
    return Answer.json(seat.json());
  }
}
