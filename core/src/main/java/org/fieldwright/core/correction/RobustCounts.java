package org.fieldwright.core.correction;

import java.util.Arrays;
import java.util.List;
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

  private static final double LIMIT_PRICE = 2; // ppm per ppm beyond a limit, then squared over it
  private static final double CAP_PRICE = 10; // ppm per relative violation squared

  private static final double UPPER = 0.95; // of the widths keeps another requirement

  private final List<SampledWidths> widths;
  private final double[] upperBeyond; // by requirement: that quantile above what is made least, ppm
  private final ShimProblem problem;

  /**
   * @param widths by requirement; the first is made least, the others must stay below what is
   *     required of them
   */
  RobustCounts(ShimProblem problem, List<SampledWidths> widths) {
    this.problem = problem;
    this.widths = List.copyOf(widths);
    this.upperBeyond = new double[widths.size()];
  }

  /** The best values found, from those of the relaxation on. */
  double[] from(double[] relaxed, Progress progress) {
    double[] x = relaxed;
    for (double sharpness : SMEARED_SHARPNESS) {
      for (SampledWidths each : widths) {
        each.set(sharpness / mean(each.widths(x)), 1);
      }
      x = descend(SampledWidths::smeared, SMEARED_STEPS, x, progress);
    }
    for (double sharpness : SHARPNESS) {
      for (SampledWidths each : widths) {
        double[] now = each.widths(x);
        double mean = mean(now);
        double variance = Arrays.stream(now).map(w -> (w - mean) * (w - mean)).sum() / now.length;
        each.set(sharpness / mean, SEVERITY / Math.max(1e-3 * mean, Math.sqrt(variance)));
      }
      progress.report("spreading", Double.NaN, mean(widths.get(0).widths(x)));
      for (int q = 1; q < upperBeyond.length; q++) {
        double[] now = widths.get(q).widths(x);
        Arrays.sort(now);
        upperBeyond[q] =
            now[(int) (UPPER * now.length)] - widths.get(q).at(x, new double[x.length]);
      }
      x = descend(SampledWidths::at, STEPS, x, progress);
    }
    return x;
  }

  /** One requirement's part in what is made least. */
  private interface Width {
    double at(SampledWidths widths, double[] x, double[] gradient);
  }

  private double[] descend(Width width, int steps, double[] x, Progress progress) {
    return new ProjectedDescent(
            (values, gradient) -> objective(width, values, gradient),
            problem.lower(),
            problem.upper())
        .run(x, steps, progress);
  }

  /** The first width, and prices on what the others and the caps are beyond what is required. */
  private double objective(Width width, double[] x, double[] gradient) {
    double sum = width.at(widths.get(0), x, gradient);
    double[] slope = new double[gradient.length];
    for (int q = 1; q < widths.size(); q++) {
      double limit = problem.requirements().get(q).widthPpm();
      double beyond = width.at(widths.get(q), x, slope) + upperBeyond[q] - limit;
      if (beyond > 0) {
        sum += LIMIT_PRICE * beyond * (1 + beyond / limit);
        double price = LIMIT_PRICE * (1 + 2 * beyond / limit);
        for (int j = 0; j < slope.length; j++) {
          gradient[j] += price * slope[j];
        }
      }
    }
    return sum + capPenalty(x, gradient);
  }

  private double capPenalty(double[] x, double[] gradient) {
    double sum = 0;
    for (ShimProblem.Cap cap : problem.caps()) {
      double scale = Math.max(1e-9, Math.abs(cap.limit()));
      double beyond = (cap.sum(x) - cap.limit()) / scale;
      if (beyond > 0) {
        sum += CAP_PRICE * beyond * beyond;
        for (int k = 0; k < cap.columns().length; k++) {
          gradient[cap.columns()[k]] += 2 * CAP_PRICE * beyond * cap.weights()[k] / scale;
        }
      }
    }
    return sum;
  }

  private static double mean(double[] widths) {
    return Arrays.stream(widths).average().orElse(1);
  }
}
