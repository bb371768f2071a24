package org.fieldwright.app.server;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import org.fieldwright.app.correct.CorrectService;
import org.fieldwright.app.notebook.NotebookService;
import org.fieldwright.app.notebook.PlanSearch;
import org.fieldwright.app.team.Role;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.correction.Plan;
import org.fieldwright.core.correction.PlanRules;

/** Searches for plans, and what was really loaded. */
final class PlanRoutes {
  private static final String MAGNET = "/api/v1/magnets/{magnet}";
  private static final double LONGEST_SECONDS = 3600;

  private final Desk desk;

  PlanRoutes(Desk desk) {
    this.desk = desk;
  }

  List<Route> all() {
    return List.of(
        new Route("POST", MAGNET + "/searches", Role.MEASURE, this::start),
        new Route("GET", MAGNET + "/searches", Role.SEE, this::list),
        new Route(
            "GET", "/api/v1/searches/{search}", Role.SEE, call -> Answer.json(find(call).json())),
        new Route("GET", "/api/v1/searches/{search}/events", Role.SEE, this::events),
        new Route("POST", "/api/v1/searches/{search}/stop", Role.MEASURE, this::stop),
        new Route("POST", MAGNET + "/rounds", Role.MEASURE, this::record),
        new Route("POST", MAGNET + "/rounds/take-back", Role.MEASURE, this::takeBack),
        new Route("POST", MAGNET + "/rehearsal", Role.MEASURE, this::rehearse));
  }

  private Answer start(Call call) throws IOException {
    Asked asked =
        Asked.of(
            call,
            "survey",
            "goal",
            "limits",
            "target_ppm",
            "seconds",
            "max_change_pieces",
            "no_removal",
            "symmetric",
            "max_shift_ppm",
            "coil_reserve_percent",
            "seed",
            "trade_off");
    PlanSearch search =
        desk.plans()
            .start(
                call.name("magnet"),
                asked.text("survey", ""),
                options(asked),
                seconds(asked),
                asked.isTrue("trade_off"),
                asked.body());
    return Answer.json(202, search.json(), null);
  }

  private static double seconds(Asked asked) {
    double seconds = asked.number("seconds", 10);
    if (!(seconds > 0 && seconds <= LONGEST_SECONDS)) {
      throw new BadInput("seconds: found %s; right is above 0, at most 3600".formatted(seconds));
    }
    return seconds;
  }

  private static CorrectService.Options options(Asked asked) {
    List<String> limits = new ArrayList<>();
    asked.path("limits").forEach(l -> limits.add(l.asText()));
    Double reserve = asked.number("coil_reserve_percent");
    if (reserve != null && !(reserve >= 0 && reserve <= 100)) {
      throw new BadInput("coil_reserve_percent: found %s; right is 0 to 100".formatted(reserve));
    }
    Double seed = asked.number("seed");
    return new CorrectService.Options(
        Plan.Goal.named(asked.text("goal", Plan.Goal.PEAK_TO_PEAK.id()), "goal"),
        limits,
        asked.positive("target_ppm"),
        new PlanRules(
            asked.whole("max_change_pieces"),
            !asked.isTrue("no_removal"),
            asked.isTrue("symmetric"),
            asked.positive("max_shift_ppm"),
            reserve == null ? 0 : reserve / 100),
        Long.MAX_VALUE,
        seed == null ? 1 : seed.longValue());
  }

  private Answer list(Call call) {
    ObjectNode root = JsonNodeFactory.instance.objectNode();
    ArrayNode list = root.putArray("searches");
    desk.plans().of(call.name("magnet")).forEach(s -> list.add(s.json()));
    return Answer.json(root);
  }

  private PlanSearch find(Call call) throws IOException {
    return desk.plans().find(call.name("search"));
  }

  private Answer stop(Call call) throws IOException {
    PlanSearch search = find(call);
    search.stop();
    return Answer.json(search.json());
  }

  /** Server-sent events: one at once, one at every change, the last when the search has ended. */
  private Answer events(Call call) throws IOException {
    return Answer.following(find(call));
  }

  private Answer record(Call call) throws IOException, NotebookService.Changed {
    Asked asked = Asked.of(call, "changes", "by", "note");
    return Answer.json(
        desk.rounds()
            .add(
                call.name("magnet"),
                asked.text("changes", ""),
                by(call, asked),
                asked.text("note", "")));
  }

  private Answer takeBack(Call call) throws IOException, NotebookService.Changed {
    Asked asked = Asked.of(call, "by", "note");
    return Answer.json(
        desk.rounds().takeBack(call.name("magnet"), by(call, asked), asked.text("note", "")));
  }

  /** Whoever is signed in answers for the record; whose hands helped, the note can say. */
  private static String by(Call call, Asked asked) {
    String by = call.who().nameOr(asked.text("by", "").strip());
    if (by.isEmpty()) {
      throw new BadInput("by: whose hands did it? A record needs a name");
    }
    return by;
  }

  private Answer rehearse(Call call) throws IOException, NotebookService.Changed {
    Asked asked = Asked.of(call, "changes");
    String file = desk.sample().surveyAgain(call.name("magnet"), asked.text("changes", ""));
    return Answer.json(JsonNodeFactory.instance.objectNode().put("file", file));
  }
}
