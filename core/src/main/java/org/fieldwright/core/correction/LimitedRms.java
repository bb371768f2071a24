package org.fieldwright.core.correction;

import java.util.Arrays;
import java.util.List;
import java.util.function.Supplier;
import java.util.function.UnaryOperator;
import org.fieldwright.core.Progress;

/**
 * Whole-number values of least mean square among those that keep further limits. The mean square
 * over the volume of every limit that is missed is priced, and the price raised until it is kept;
 * then lowered again by halves as long as it still is (the exterior penalty method: Nocedal and
 * Wright, Numerical Optimization, 2nd ed., 17.1). What counts in the end are the limits themselves,
 * whatever their measure; where no price keeps them all, as with widths that whole pieces hardly
 * reach, a plan that was sought for them stands in.
 */
final class LimitedRms {
  private static final double FIRST_PRICE = 0.1; // of a limit's mean square against the target's
  private static final double RAISED = 3;
  private static final int MOST_RAISES = 10;
  private static final int LOWERINGS = 3;
  private static final long SHAKEN_EACH = 20; // while the prices are sought

  private final ShimProblem problem;
  private final ColumnSquare target;
  private final List<ColumnSquare> others;
  private final UnaryOperator<double[]> missed;
  private final Supplier<double[]> keeping;
  private long iterations;
  private double[] best = new double[0];
  private double bestMissed = Double.POSITIVE_INFINITY;
  private double bestSquare = Double.POSITIVE_INFINITY;

  /**
   * @param target what is made least
   * @param others the mean square over each further limit's volume
   * @param missed ppm by which each further limit is missed at values of the columns; 0 where kept
   * @param keeping seeks values that keep the limits, whatever the mean square
   */
  LimitedRms(
      ShimProblem problem,
      ColumnSquare target,
      List<ColumnSquare> others,
      UnaryOperator<double[]> missed,
      Supplier<double[]> keeping) {
    this.problem = problem;
    this.target = target;
    this.others = List.copyOf(others);
    this.missed = missed;
    this.keeping = keeping;
  }

  /**
   * The best values found: those that miss the limits least, of these the least mean square.
   *
   * @param start near which to begin; fractions allowed
   * @param mostIterations shakings; the progress may stop it before
   */
  double[] run(double[] start, long mostIterations, long seed, Progress progress) {
    double[] price = new double[others.size()];
    double[] low = price; // the last that missed a limit
    long each = Math.min(SHAKEN_EACH, mostIterations);
    boolean kept = true;
    for (int raise = 0; raise <= MOST_RAISES; raise++) {
      double[] over = attempt(best.length == 0 ? start : best, price, each, seed, progress);
      kept = keeps(over);
      if (kept || progress.shouldStop()) {
        break;
      }
      low = price;
      price = raised(price, over);
    }
    if (kept) {
      price = lowered(price, low, each, seed, progress);
    } else {
      judge(keeping.get());
    }
    if (iterations < mostIterations && !progress.shouldStop()) {
      attempt(best, price, mostIterations - iterations, seed, progress);
    }
    return best;
  }

  /** The least price found between one that keeps the limits and one that does not. */
  private double[] lowered(double[] high, double[] low, long each, long seed, Progress progress) {
    double[] kept = high;
    double[] missing = low;
    for (int k = 0; k < LOWERINGS && !Arrays.equals(kept, missing); k++) {
      double[] middle = new double[kept.length];
      for (int q = 0; q < middle.length; q++) {
        middle[q] = (missing[q] + kept[q]) / 2;
      }
      if (keeps(attempt(best, middle, each, seed, progress))) {
        kept = middle;
      } else {
        missing = middle;
      }
    }
    return kept;
  }

  private static boolean keeps(double[] over) {
    return Arrays.stream(over).allMatch(m -> m == 0);
  }

  long iterations() {
    return iterations;
  }

  private static double[] raised(double[] price, double[] over) {
    double[] next = price.clone();
    for (int q = 0; q < next.length; q++) {
      if (over[q] > 0) {
        next[q] = next[q] == 0 ? FIRST_PRICE : RAISED * next[q];
      }
    }
    return next;
  }

  /** Searches at given prices and keeps what it came to if it is the best. */
  private double[] attempt(double[] start, double[] price, long most, long seed, Progress p) {
    ColumnSquare sum = target;
    for (int q = 0; q < price.length; q++) {
      sum = price[q] == 0 ? sum : sum.plus(others.get(q), price[q]);
    }
    WholeRms search = new WholeRms(problem, sum);
    double[] values = search.run(start, most, seed, p);
    iterations += search.iterations();
    return judge(values);
  }

  /** Keeps the values if they are the best; answers by how much they miss each limit. */
  private double[] judge(double[] values) {
    double[] over = missed.apply(values);
    double all = Arrays.stream(over).sum();
    double square = target.of(values);
    if (all < bestMissed || (all == bestMissed && square < bestSquare)) {
      best = values;
      bestMissed = all;
      bestSquare = square;
    }
    return over;
  }
}
