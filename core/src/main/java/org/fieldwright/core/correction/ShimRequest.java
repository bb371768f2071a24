package org.fieldwright.core.correction;

import java.util.List;
import org.fieldwright.core.homogeneity.Limit;
import org.jspecify.annotations.Nullable;

/**
 * What a plan is asked for.
 *
 * @param goal what it should be best at
 * @param target the limit it is optimised on; peak-to-peak
 * @param constraints further peak-to-peak limits that must be kept
 * @param targetPpm what least iron has to reach on the target; its own limit where null
 * @param rules what else is to be kept
 * @param mostIterations of the search for whole pieces
 * @param seed of that search
 */
public record ShimRequest(
    Plan.Goal goal,
    Limit target,
    List<Limit> constraints,
    @Nullable Double targetPpm,
    PlanRules rules,
    long mostIterations,
    long seed) {

  public ShimRequest {
    constraints = List.copyOf(constraints);
  }

  /** With a number of changes and removals as the only rules. */
  public ShimRequest(
      Plan.Goal goal,
      Limit target,
      List<Limit> constraints,
      @Nullable Double targetPpm,
      @Nullable Integer mostChanges,
      boolean removal,
      long mostIterations,
      long seed) {
    this(
        goal,
        target,
        constraints,
        targetPpm,
        PlanRules.NONE.withMostChanges(mostChanges).withRemoval(removal),
        mostIterations,
        seed);
  }

  /** Least peak-to-peak on one limit, pieces may be taken out, until told to stop. */
  public static ShimRequest peakToPeak(Limit target) {
    return new ShimRequest(
        Plan.Goal.PEAK_TO_PEAK, target, List.of(), null, PlanRules.NONE, Long.MAX_VALUE, 1);
  }

  /** Whether the target's width is to be kept while something else is made least. */
  boolean keepsTarget() {
    return goal == Plan.Goal.LEAST_IRON || goal == Plan.Goal.FEWEST_POCKETS;
  }

  /** ppm that the target's width has to come down to. */
  public double requiredPpm() {
    return targetPpm == null ? target.limit() : targetPpm;
  }
}
