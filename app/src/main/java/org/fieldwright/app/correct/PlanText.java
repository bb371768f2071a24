package org.fieldwright.app.correct;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.TreeMap;
import org.fieldwright.app.assess.AssessmentText;
import org.fieldwright.core.correction.IronSystem;
import org.fieldwright.core.correction.Loading;
import org.fieldwright.core.correction.Plan;
import org.fieldwright.core.correction.Promise;
import org.fieldwright.core.correction.TrayPull;
import org.fieldwright.core.correction.TrayPulls;
import org.jspecify.annotations.Nullable;

/** A plan for a person at a terminal: what it will do, then what to load tray by tray. */
public final class PlanText {
  private PlanText() {}

  /** The whole text. */
  public static String of(Plan plan, @Nullable IronSystem iron, double seconds) {
    List<String> lines = new ArrayList<>();
    lines.add(
        String.format(
            Locale.ROOT,
            "Plan for %s: %.2f ppm peak-to-peak now, %.2f ppm after loading; relaxed bound %.2f ppm",
            plan.limitId(),
            plan.beforePpm(),
            plan.plannedPpm(),
            plan.relaxedBoundPpm() == null ? Double.NaN : plan.relaxedBoundPpm()));
    Promise promise = plan.promise();
    if (promise != null) {
      lines.add(
          String.format(
              Locale.ROOT,
              "Promised: %.1f ppm or better in 95 of 100 cases, %.1f on average, as well as pieces, places and survey are known",
              promise.ppm95(),
              promise.meanPpm()));
    }
    if (plan.unreachableByPpm() > 0) {
      lines.add(
          String.format(
              Locale.ROOT,
              "NO SOLUTION: no loading comes nearer to what is required than %.3f ppm; this plan misses it by %.3f ppm",
              plan.unreachableByPpm(),
              plan.missedByPpm()));
    }
    lines.add(
        String.format(
            Locale.ROOT,
            "%d pieces in (%.0f g), %d out, %d pockets touched; centre field moves by %+.1f ppm",
            plan.piecesAdded(),
            1e3 * plan.massAdded(),
            plan.piecesRemoved(),
            plan.pocketsTouched(),
            plan.centreShiftPpm()));
    if (plan.relaxedMassBound() != null) {
      lines.add(
          String.format(
              Locale.ROOT,
              "No loading can do it with less than %.0f g",
              1e3 * plan.relaxedMassBound()));
    }
    if (plan.relaxedPocketBound() != null) {
      lines.add(
          "No loading can do it with fewer pockets than %d".formatted(plan.relaxedPocketBound()));
    }
    lines.add("");
    lines.add("Predicted");
    plan.predictedLimits().forEach(r -> lines.add("  " + AssessmentText.verdict(r)));
    lines.add("");
    coils(plan, lines);
    loading(plan, lines);
    pulls(plan.pulls(), lines);
    if (iron != null && iron.plusZEnd() != null) {
      lines.add("The +z end is the " + iron.plusZEnd() + ".");
    }
    lines.add(
        "Shim iron is strongly pulled and turned: load at low or zero field unless the maker's written");
    lines.add(
        "procedure says otherwise. Local rules come first; a qualified person decides what is loaded.");
    plan.warnings().forEach(w -> lines.add("! " + w));
    lines.add(
        String.format(
            Locale.ROOT,
            "(%.1f s, %d iterations, seed %d)",
            seconds,
            plan.iterations(),
            plan.seed()));
    return String.join("\n", lines) + "\n";
  }

  private static void pulls(@Nullable TrayPulls pulls, List<String> lines) {
    if (pulls == null || pulls.comingOut().size() + pulls.goingIn().size() == 0) {
      return;
    }
    lines.add(
        "How the field pulls at the trays, an estimate for saturated iron that decides nothing (+ is towards +z)");
    pulls.comingOut().forEach(p -> lines.add(pull("coming out", p)));
    pulls.goingIn().forEach(p -> lines.add(pull("going in", p)));
  }

  private static String pull(String way, TrayPull p) {
    String line =
        String.format(
            Locale.ROOT,
            "  tray %2d %-10s %6.0f g: %+.0f N at its place, at most %+.0f N, %.0f mm from there",
            p.tray(),
            way,
            1e3 * p.mass(),
            p.home(),
            p.largest(),
            1e3 * p.largestAt());
    Double side = p.side();
    Double turning = p.turning();
    return side == null || turning == null
        ? line
        : String.format(
            Locale.ROOT, "%s; outwards %+.0f N, turning at most %.1f N m", line, side, turning);
  }

  private static void coils(Plan plan, List<String> lines) {
    if (plan.coilsTo().isEmpty()) {
      return;
    }
    lines.add("Coils, A");
    // Coils that disturb each other are listed in the order in which they have to be set.
    List<String> order =
        plan.coilsInTurn().isEmpty()
            ? plan.coilsTo().keySet().stream().sorted().toList()
            : List.copyOf(plan.coilsInTurn().keySet());
    for (String id : order) {
      Double atTurn = plan.coilsInTurn().get(id);
      lines.add(
          String.format(
              Locale.ROOT,
              "  %-8s %8.4f to %8.4f%s",
              id,
              plan.coilsFrom().getOrDefault(id, 0.0),
              plan.coilsTo().get(id),
              atTurn == null ? "" : "; set to %.4f at its turn".formatted(atTurn)));
    }
    lines.add("");
  }

  private static void loading(Plan plan, List<String> lines) {
    TreeMap<Integer, List<String>> byTray = new TreeMap<>();
    for (Loading.Place place : plan.installed().differences(plan.planned())) {
      int from = plan.installed().count(place);
      int to = plan.planned().count(place);
      byTray
          .computeIfAbsent(place.tray(), t -> new ArrayList<>())
          .add(
              "%d: %+d %s%s"
                  .formatted(
                      place.pocket(),
                      to - from,
                      place.piece(),
                      from == 0 ? "" : " (to " + to + ")"));
    }
    lines.add(byTray.isEmpty() ? "Nothing to load." : "Load (pocket: change)");
    byTray.forEach(
        (tray, rows) -> lines.add("  tray %2d  %s".formatted(tray, String.join(", ", rows))));
  }
}
