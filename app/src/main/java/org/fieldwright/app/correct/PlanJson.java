package org.fieldwright.app.correct;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.List;
import java.util.TreeSet;
import org.fieldwright.app.assess.AssessmentJson;
import org.fieldwright.core.correction.Loading;
import org.fieldwright.core.correction.Plan;
import org.fieldwright.core.correction.Promise;
import org.fieldwright.core.correction.TrayPull;
import org.fieldwright.core.correction.TrayPulls;

/** The document of {@code shim --json}; its schema is published with the formats. */
public final class PlanJson {
  private static final double GRAMS = 1e3;
  private static final double MM = 1e3;

  private PlanJson() {}

  /**
   * The whole plan.
   *
   * @param seconds that it took
   */
  public static ObjectNode of(Plan plan, double seconds) {
    ObjectNode root = JsonNodeFactory.instance.objectNode();
    root.put("goal", plan.goal().id());
    root.put("limit", plan.limitId());
    root.put("before_ppm", plan.beforePpm());
    root.put("relaxed_bound_ppm", plan.relaxedBoundPpm());
    if (plan.relaxedMassBound() != null) {
      root.put("relaxed_mass_bound_g", GRAMS * plan.relaxedMassBound());
    }
    if (plan.relaxedPocketBound() != null) {
      root.put("relaxed_pocket_bound", plan.relaxedPocketBound());
    }
    root.put("planned_ppm", plan.plannedPpm());
    root.put("missed_by_ppm", plan.missedByPpm());
    root.put("unreachable_by_ppm", plan.unreachableByPpm());
    Promise promise = plan.promise();
    root.put("promised_ppm_95", promise == null ? null : (Double) promise.ppm95());
    if (promise != null) {
      root.set("promise", promise(promise));
    }
    root.put("pieces_added", plan.piecesAdded());
    root.put("pieces_removed", plan.piecesRemoved());
    root.put("mass_added_g", GRAMS * plan.massAdded());
    root.put("pockets_touched", plan.pocketsTouched());
    root.put("centre_shift_ppm", plan.centreShiftPpm());
    root.put("seconds", seconds);
    root.put("iterations", plan.iterations());
    root.put("seed", plan.seed());
    root.set("loading", loading(plan));
    root.put("point_form_error_ppm", plan.pointFormErrorPpm());
    root.set("coils", coils(plan));
    TrayPulls pulls = plan.pulls();
    root.set("pulls", pulls == null ? root.nullNode() : pulls(pulls));
    ArrayNode limits = root.putArray("predicted_limits");
    plan.predictedLimits().forEach(r -> limits.add(AssessmentJson.limit(r)));
    ArrayNode warnings = root.putArray("warnings");
    plan.warnings().forEach(warnings::add);
    return root;
  }

  private static ObjectNode promise(Promise promise) {
    return JsonNodeFactory.instance
        .objectNode()
        .put("mean_ppm", promise.meanPpm())
        .put("ppm_95", promise.ppm95())
        .put("ppm_95_uncertainty", promise.ppm95Uncertainty())
        .put("draws", promise.draws())
        .put("seed", promise.seed())
        .put("linear_error_ppm", promise.linearErrorPpm());
  }

  private static ObjectNode pulls(TrayPulls pulls) {
    ObjectNode node = JsonNodeFactory.instance.objectNode();
    node.set("coming_out", pulls(pulls.comingOut()));
    node.set("going_in", pulls(pulls.goingIn()));
    return node;
  }

  private static ArrayNode pulls(List<TrayPull> pulls) {
    ArrayNode nodes = JsonNodeFactory.instance.arrayNode();
    for (TrayPull p : pulls) {
      nodes
          .addObject()
          .put("tray", p.tray())
          .put("iron_g", GRAMS * p.mass())
          .put("home_N", p.home())
          .put("largest_N", p.largest())
          .put("largest_at_mm", MM * p.largestAt())
          .put("side_N", p.side())
          .put("turning_Nm", p.turning());
    }
    return nodes;
  }

  private static ArrayNode coils(Plan plan) {
    ArrayNode coils = JsonNodeFactory.instance.arrayNode();
    List<String> turns = List.copyOf(plan.coilsInTurn().keySet());
    for (String id : new TreeSet<>(plan.coilsTo().keySet())) {
      ObjectNode coil =
          coils
              .addObject()
              .put("id", id)
              .put("from_A", plan.coilsFrom().getOrDefault(id, 0.0))
              .put("to_A", plan.coilsTo().get(id));
      if (!turns.isEmpty()) {
        coil.put("turn", turns.indexOf(id) + 1).put("set_in_turn_A", plan.coilsInTurn().get(id));
      }
    }
    return coils;
  }

  /** Changed rows only. */
  private static ArrayNode loading(Plan plan) {
    ArrayNode rows = JsonNodeFactory.instance.arrayNode();
    for (Loading.Place place : plan.installed().differences(plan.planned())) {
      rows.addObject()
          .put("tray", place.tray())
          .put("pocket", place.pocket())
          .put("piece", place.piece())
          .put("from", plan.installed().count(place))
          .put("to", plan.planned().count(place));
    }
    return rows;
  }
}
