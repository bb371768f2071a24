package org.fieldwright.core.correction;

import java.util.Arrays;
import org.fieldwright.core.Progress;

/**
 * Fractions of pieces whose promise is best: not the field that ideal pieces would make is
 * minimised, but the upper end of what pieces with errors make of it. Such plans spread the iron
 * and use less of it where a displaced stack would do most.
 */
final class RobustCounts {
  static final int DRAWS = 150;
  static final long SEED = 60_601L; // not that of the promise
  private static final int SMEARED_STEPS = 400;
  private static final double[] SMEARED_SHARPNESS = {5, 15, 45}; // β times the width
  private static final int STEPS = 100;
  private static final double[] SHARPNESS = {25, 40};
  private static final double SEVERITY = 1; // q times the widths' standard deviation

  private final SampledWidths widths;
  private final ShimProblem problem;

  RobustCounts(ShimProblem problem, SampledWidths widths) {
    this.problem = problem;
    this.widths = widths;
  }

  /** The best values found, from those of the relaxation on. */
  double[] from(double[] relaxed, Progress progress) {
    double[] x = relaxed;
    for (double sharpness : SMEARED_SHARPNESS) {
      widths.set(sharpness / mean(widths.widths(x)), 1);
      x = descend(widths::smeared, SMEARED_STEPS, x, progress);
    }
    for (double sharpness : SHARPNESS) {
      double[] now = widths.widths(x);
      double mean = mean(now);
      double variance = Arrays.stream(now).map(w -> (w - mean) * (w - mean)).sum() / now.length;
      widths.set(sharpness / mean, SEVERITY / Math.max(1e-3 * mean, Math.sqrt(variance)));
      progress.report("spreading", Double.NaN, mean);
      x = descend(widths, STEPS, x, progress);
    }
    return x;
  }

  private double[] descend(
      ProjectedDescent.Objective objective, int steps, double[] x, Progress progress) {
    return new ProjectedDescent(objective, problem.lower(), problem.upper())
        .run(x, steps, progress);
  }

  private static double mean(double[] widths) {
    return Arrays.stream(widths).average().orElse(1);
  }
}
