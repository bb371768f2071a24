package org.fieldwright.core.correction;

import java.util.Arrays;
import org.fieldwright.core.Progress;
import org.fieldwright.core.correction.Relaxation.Relaxed;

/**
 * Which pockets to touch so that few are: the relaxation is solved again and again, each time with
 * what a column costs divided by what its pocket held last, so that pockets that hold little empty
 * themselves (reweighted ℓ1 minimisation; Candès, Wakin and Boyd, J. Fourier Anal. Appl. 14 (2008)
 * 877). Heuristic: there is no bound on how many fewer would do.
 */
final class FewestPockets {
  private static final int ROUNDS = 6;
  private static final double RESERVE = 0.15; // of the required width, left for rounding
  private static final double SMOOTHING = 0.5; // pieces
  private static final double USED = 0.2; // pieces
  private static final double EXCESS_PRICE = 1e4; // pockets per ppm missed

  private final ShimProblem problem;
  private final int[] pocket;

  /**
   * @param pocket number of the pocket by column; −1 for coils
   */
  FewestPockets(ShimProblem problem, int[] pocket) {
    this.problem = problem;
    this.pocket = pocket;
  }

  /** The problem with all but few pockets shut, beginning from the relaxed values. */
  ShimProblem chosen(double[] relaxed, Progress progress) {
    ShimProblem tight = problem.tightened(RESERVE);
    double[] values = relaxed;
    for (int round = 0; round < ROUNDS && !progress.shouldStop(); round++) {
      double[] held = held(values);
      double[] cost = new double[problem.size()];
      for (int j = 0; j < cost.length; j++) {
        cost[j] = pocket[j] < 0 ? 0 : 1 / (held[pocket[j]] + SMOOTHING);
      }
      Relaxed next = new Relaxation(tight.costing(cost, EXCESS_PRICE), progress).solve();
      if (next == null || next.widths()[0] > problem.requirements().get(0).widthPpm()) {
        return problem; // out of reach already with every pocket
      }
      values = next.values();
      progress.report("fewer pockets", Double.NaN, used(held(values)));
    }
    double[] held = held(values);
    double[] open = new double[problem.size()];
    for (int j = 0; j < open.length; j++) {
      open[j] = pocket[j] < 0 || held[pocket[j]] > USED ? Double.MAX_VALUE : 0;
    }
    return problem.within(open);
  }

  private double[] held(double[] values) {
    double[] held = new double[Arrays.stream(pocket).max().orElse(-1) + 1];
    for (int j = 0; j < values.length; j++) {
      if (pocket[j] >= 0) {
        held[pocket[j]] += values[j];
      }
    }
    return held;
  }

  private static double used(double[] held) {
    return Arrays.stream(held).filter(h -> h > USED).count();
  }
}
