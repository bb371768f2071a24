package org.fieldwright.adapters.report;

import java.util.ArrayList;
import java.util.List;
import org.fieldwright.core.correction.Plan;
import org.fieldwright.core.geometry.Volume;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.homogeneity.Limit;
import org.fieldwright.core.homogeneity.LimitResult;
import org.jspecify.annotations.Nullable;

/**
 * The field at one point of the job: as found, as predicted, as found again.
 *
 * @param name as tables and captions call it
 * @param ppm relative to this state's own centre field
 * @param survey where it was measured; null for a prediction
 */
record FieldState(
    String name, Expansion ppm, List<LimitResult> limits, VisitReport.@Nullable Surveyed survey) {

  /**
   * The states of a report in the order of the job. Of predictions only that of the last round is
   * among them: those before it are held against what was found where the rounds are told.
   */
  static List<FieldState> of(VisitReport report) {
    List<FieldState> states = new ArrayList<>();
    states.add(measured("as found", report.found()));
    int last = report.rounds().size();
    for (int k = 1; k <= last; k++) {
      VisitReport.Round round = report.rounds().get(k - 1);
      Plan plan = round.plan();
      String which = last > 1 ? "round " + k : "loading";
      if (plan != null && k == last) {
        states.add(
            new FieldState(
                "predicted after " + which, plan.predicted(), plan.predictedLimits(), null));
      }
      if (round.after() != null) {
        states.add(measured("found after " + which, round.after()));
      }
    }
    return states;
  }

  private static FieldState measured(String name, VisitReport.Surveyed survey) {
    return new FieldState(name, survey.model().ppm(), survey.limits(), survey);
  }

  /** What a limit gives in this state; null where it was not computed. */
  @Nullable LimitResult result(Limit limit) {
    return limits.stream().filter(r -> r.limit().id().equals(limit.id())).findFirst().orElse(null);
  }

  /**
   * The limit that maps are drawn for: the plan's, else the first peak-to-peak one, else the first
   * with a volume; null where no limit has one.
   */
  static @Nullable Limit shownLimit(VisitReport report) {
    Plan plan = report.lastPlan();
    Limit best = null;
    for (Limit limit : report.magnet().limits()) {
      if (limit.volume() == null) {
        continue;
      }
      if (plan != null && limit.id().equals(plan.limitId())) {
        return limit;
      }
      boolean first = best == null;
      if (first || (!isPeakToPeak(best) && isPeakToPeak(limit))) {
        best = limit;
      }
    }
    return best;
  }

  private static boolean isPeakToPeak(@Nullable Limit limit) {
    return limit != null && limit.measure() == Limit.Measure.PEAK_TO_PEAK;
  }

  /** The volume that maps are drawn over; the measured sphere where no limit has one. */
  static Volume shownVolume(VisitReport report) {
    Limit limit = shownLimit(report);
    return limit != null
        ? limit.requireVolume()
        : new Volume.Sphere(report.found().model().measuredRadius());
  }
}
