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
 * @param round where it was measured; null for a prediction
 */
record FieldState(
    String name, Expansion ppm, List<LimitResult> limits, VisitReport.@Nullable Round round) {

  /** The states of a report in the order of the job. */
  static List<FieldState> of(VisitReport report) {
    List<FieldState> states = new ArrayList<>();
    states.add(measured("as found", report.found()));
    Plan plan = report.plan();
    if (plan != null) {
      states.add(
          new FieldState(
              "predicted after loading", plan.predicted(), plan.predictedLimits(), null));
    }
    VisitReport.Round again = report.afterLoading();
    if (again != null) {
      states.add(measured("found after loading", again));
    }
    return states;
  }

  private static FieldState measured(String name, VisitReport.Round round) {
    return new FieldState(name, round.model().ppm(), round.limits(), round);
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
    Plan plan = report.plan();
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
