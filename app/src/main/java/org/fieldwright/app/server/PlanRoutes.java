package org.fieldwright.app.server;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.stream.Collectors;
import org.fieldwright.app.correct.CorrectService;
import org.fieldwright.app.notebook.NotebookService;
import org.fieldwright.app.notebook.PlanSearch;
import org.fieldwright.app.team.Role;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.correction.Plan;
import org.fieldwright.core.correction.PlanRules;
import org.jspecify.annotations.Nullable;

/** Searches for plans, and what was really loaded. */
final class PlanRoutes {
  private static final String MAGNET = "/api/v1/magnets/{magnet}";
  private static final Set<String> KNOWN =
      Set.of(
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
    ObjectNode asked = object(call.body(), KNOWN);
    String survey = asked.path("survey").asText();
    PlanSearch search =
        desk.plans()
            .start(
                call.name("magnet"),
                survey,
                options(asked),
                seconds(asked),
                asked.path("trade_off").asBoolean(),
                asked);
    return Answer.json(202, search.json(), null);
  }

  private static double seconds(ObjectNode asked) {
    Double given = number(asked, "seconds");
    double seconds = given == null ? 10 : given;
    if (!(seconds > 0 && seconds <= LONGEST_SECONDS)) {
      throw new BadInput("seconds: found %s; right is above 0, at most 3600".formatted(seconds));
    }
    return seconds;
  }

  private static CorrectService.Options options(ObjectNode asked) {
    List<String> limits = new ArrayList<>();
    asked.path("limits").forEach(l -> limits.add(l.asText()));
    Double reserve = number(asked, "coil_reserve_percent");
    if (reserve != null && !(reserve >= 0 && reserve <= 100)) {
      throw new BadInput("coil_reserve_percent: found %s; right is 0 to 100".formatted(reserve));
    }
    Double seed = number(asked, "seed");
    return new CorrectService.Options(
        Plan.Goal.named(asked.path("goal").asText(Plan.Goal.PEAK_TO_PEAK.id()), "goal"),
        limits,
        positive(asked, "target_ppm"),
        new PlanRules(
            whole(asked, "max_change_pieces"),
            !asked.path("no_removal").asBoolean(),
            asked.path("symmetric").asBoolean(),
            positive(asked, "max_shift_ppm"),
            reserve == null ? 0 : reserve / 100),
        Long.MAX_VALUE,
        seed == null ? 1 : seed.longValue());
  }

  static @Nullable Double number(ObjectNode asked, String field) {
    JsonNode node = asked.path(field);
    if (node.isMissingNode() || node.isNull()) {
      return null;
    }
    if (!node.isNumber() || !Double.isFinite(node.asDouble())) {
      throw new BadInput("%s: found %s; right is a number".formatted(field, node));
    }
    return node.asDouble();
  }

  private static @Nullable Double positive(ObjectNode asked, String field) {
    Double value = number(asked, field);
    if (value != null && !(value > 0)) {
      throw new BadInput("%s: found %s; right is above 0".formatted(field, value));
    }
    return value;
  }

  static @Nullable Integer whole(ObjectNode asked, String field) {
    Double value = number(asked, field);
    if (value == null) {
      return null;
    }
    if (value < 0 || value > Integer.MAX_VALUE || value != Math.rint(value)) {
      throw new BadInput("%s: found %s; right is a whole number".formatted(field, value));
    }
    return value.intValue();
  }

  static ObjectNode object(byte[] body, Set<String> known) throws IOException {
    try {
      JsonNode node = new ObjectMapper().readTree(body);
      if (!(node instanceof ObjectNode object)) {
        throw new BadInput("body: found no JSON object");
      }
      for (var names = object.fieldNames(); names.hasNext(); ) {
        String name = names.next();
        if (!known.contains(name)) {
          throw new BadInput(
              "body: found '%s'; known are %s"
                  .formatted(name, known.stream().sorted().collect(Collectors.joining(", "))));
        }
      }
      return object;
    } catch (JsonProcessingException e) {
      throw new BadInput("body: not JSON: " + e.getOriginalMessage(), e);
    }
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
    ObjectNode asked = object(call.body(), Set.of("changes", "by", "note"));
    return Answer.json(
        desk.rounds()
            .add(
                call.name("magnet"),
                asked.path("changes").asText(),
                by(call, asked),
                asked.path("note").asText("")));
  }

  private Answer takeBack(Call call) throws IOException, NotebookService.Changed {
    ObjectNode asked = object(call.body(), Set.of("by", "note"));
    return Answer.json(
        desk.rounds()
            .takeBack(call.name("magnet"), by(call, asked), asked.path("note").asText("")));
  }

  /** Whoever is signed in answers for the record; whose hands helped, the note can say. */
  private static String by(Call call, ObjectNode asked) {
    String by = call.who().nameOr(asked.path("by").asText("").strip());
    if (by.isEmpty()) {
      throw new BadInput("by: whose hands did it? A record needs a name");
    }
    return by;
  }

  private Answer rehearse(Call call) throws IOException, NotebookService.Changed {
    ObjectNode asked = object(call.body(), Set.of("changes"));
    String file = desk.sample().surveyAgain(call.name("magnet"), asked.path("changes").asText());
    return Answer.json(JsonNodeFactory.instance.objectNode().put("file", file));
  }
}
