package org.fieldwright.app.server;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.util.List;
import org.fieldwright.app.assess.AssessService;
import org.fieldwright.app.notebook.OutsideDesk;
import org.fieldwright.app.notebook.OutsideLook;
import org.fieldwright.app.team.Role;
import org.fieldwright.core.BadInput;
import org.jspecify.annotations.Nullable;

/** Searches for iron outside the bore. */
final class OutsideRoutes {
  private static final String MAGNET = "/api/v1/magnets/{magnet}";
  private static final String LOOK = "/api/v1/outside-searches/{search}";

  private final OutsideDesk desk;

  OutsideRoutes(OutsideDesk desk) {
    this.desk = desk;
  }

  List<Route> all() {
    return List.of(
        new Route("POST", MAGNET + "/outside-searches", Role.MEASURE, this::start),
        new Route("GET", MAGNET + "/outside-searches", Role.SEE, this::list),
        new Route("GET", LOOK, Role.SEE, call -> Answer.json(find(call).json())),
        new Route("GET", LOOK + "/events", Role.SEE, call -> Answer.following(find(call))),
        new Route("POST", LOOK + "/stop", Role.MEASURE, this::stop));
  }

  private Answer start(Call call) throws IOException {
    Asked asked = Asked.of(call, "survey", "since", "degree");
    OutsideLook look =
        desk.start(
            call.name("magnet"), asked.text("survey"), asked.textOrNull("since"), degree(asked));
    return Answer.json(202, look.json(), null);
  }

  private static @Nullable Integer degree(Asked asked) {
    Integer degree = asked.whole("degree");
    if (degree != null && !(degree >= 1 && degree <= AssessService.HIGHEST_DEGREE)) {
      throw new BadInput(
          "degree: found %d; right is 1 to %d".formatted(degree, AssessService.HIGHEST_DEGREE));
    }
    return degree;
  }

  private Answer list(Call call) {
    ObjectNode root = JsonNodeFactory.instance.objectNode();
    ArrayNode list = root.putArray("searches");
    desk.of(call.name("magnet")).forEach(look -> list.add(look.json()));
    return Answer.json(root);
  }

  private OutsideLook find(Call call) throws IOException {
    return desk.find(call.name("search"));
  }

  private Answer stop(Call call) throws IOException {
    OutsideLook look = find(call);
    look.stop();
    return Answer.json(look.json());
  }
}
