package org.fieldwright.core.correction;

import java.util.Arrays;
import org.fieldwright.core.Progress;
import org.fieldwright.core.correction.Relaxation.Relaxed;
import org.jspecify.annotations.Nullable;

/**
 * Which pockets to touch so that few are: the relaxation is solved again and again, each time with
 * what a column costs divided by what its pocket held last, so that pockets that hold little empty
 * themselves (reweighted ℓ1 minimisation; Candès, Wakin and Boyd, J. Fourier Anal. Appl. 14 (2008)
 * 877). Heuristic; the bound on how few would do is that of filling pockets to the brim.
 */
final class FewestPockets {
  private static final int ROUNDS = 6;
  private static final double RESERVE = 0.15; // of the required width, left for rounding
  private static final double SMOOTHING = 0.5; // pieces
  private static final double USED = 0.2; // pieces
  private static final double ROUNDING = 1e-6; // pockets
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
      progress.report("fewer pockets", Double.NaN, Double.NaN);
    }
    double[] held = held(values);
    double[] open = new double[problem.size()];
    for (int j = 0; j < open.length; j++) {
      open[j] = pocket[j] < 0 || held[pocket[j]] > USED ? Double.MAX_VALUE : 0;
    }
    return problem.within(open);
  }

  /**
   * No loading keeps the requirements with fewer pockets touched: a pocket whose columns rise to
   * shares of what it holds is touched at least by the mean of those shares, and the least sum of
   * them is a linear program.
   *
   * @param pocketsTouched by each column, 2 where it changes two pockets alike
   * @return null where the requirements are out of reach, or the search was stopped
   */
  @Nullable Integer bound(int[] pocketsTouched, Progress progress) {
    int[] sharing = new int[Arrays.stream(pocket).max().orElse(-1) + 1];
    for (int p : pocket) {
      if (p >= 0) {
        sharing[p]++;
      }
    }
    double[] cost = new double[problem.size()];
    for (int j = 0; j < cost.length; j++) {
      if (pocket[j] >= 0 && problem.upper()[j] > 0) {
        cost[j] = pocketsTouched[j] / (sharing[pocket[j]] * problem.upper()[j]);
      }
    }
    Relaxed least = new Relaxation(problem.costing(cost, EXCESS_PRICE), progress).solve();
    double required = problem.requirements().get(0).widthPpm();
    if (least == null || least.widths()[0] > required * (1 + Relaxation.TOLERANCE)) {
      return null;
    }
    return (int) Math.ceil(least.massAdded() - ROUNDING); // what is paid for here is pockets
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
}
