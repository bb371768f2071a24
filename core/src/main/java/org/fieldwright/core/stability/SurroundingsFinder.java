package org.fieldwright.core.stability;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Whether, how strongly and how late the field follows temperature and pressure: a column of the
 * surroundings, delayed, joins the regression of the trend; the delay with the largest likelihood
 * counts, and the quantity stays only if Schwarz's criterion gains clearly.
 */
final class SurroundingsFinder {
  private static final double STRONG = 6;
  private static final int DELAYS = 25;

  /** Natural logarithm of a likelihood ratio that does not count. */
  private static final double AS_WELL = 3;

  /** Longest delay as a share of the log: what came before the log is not known. */
  private static final double LONGEST_SHARE = 0.25;

  /** Blocks below which a delay cannot be told from chance. */
  private static final int FEWEST_BLOCKS = 24;

  private final TrendFitter whole;
  private final Blocks fine;
  private final double longest;
  private final boolean longEnough;
  private final TrendFitter later;
  private final List<Surroundings> found = new ArrayList<>();
  private final List<double[]> series = new ArrayList<>();

  /** For a log; delays are looked for on its last three quarters. */
  SurroundingsFinder(TrendFitter whole) {
    this.whole = whole;
    this.fine = whole.fine();
    double start = fine.centre(0);
    this.longest = LONGEST_SHARE * (fine.centre(fine.size() - 1) - start);
    this.longEnough = fine.since(start + longest).size() >= FEWEST_BLOCKS + whole.steps();
    this.later = longEnough ? whole.since(start + longest) : whole;
  }

  boolean foundAny() {
    return !found.isEmpty();
  }

  /** For the part of the log whose surroundings are known at the delays found. */
  TrendFitter fitter() {
    double delay = found.stream().mapToDouble(s -> s.delay().value()).max().orElse(0);
    return delay == 0 ? whole : whole.since(fine.centre(0) + delay);
  }

  /** The delayed columns accepted so far, at the fine blocks of a fitter of this log. */
  double[][] columns(TrendFitter fitter) {
    double[][] columns = new double[found.size()][];
    for (int k = 0; k < columns.length; k++) {
      columns[k] = delayed(series.get(k), found.get(k).delay().value(), fitter);
    }
    return columns;
  }

  /** What was found, with coefficients from the last fit of the trend. */
  List<Surroundings> found(TrendFitter.Candidate fitted, int steps) {
    List<Surroundings> list = new ArrayList<>();
    for (int k = 0; k < found.size(); k++) {
      Surroundings s = found.get(k);
      int at = fitted.terms() + steps + k;
      Estimate perUnit = new Estimate(fitted.fit().coefficient(at), fitted.fit().uncertainty(at));
      list.add(new Surroundings(s.quantity(), perUnit, s.delay(), s.gain()));
    }
    return list;
  }

  /**
   * Tries one quantity beside those accepted.
   *
   * @param logged at the fine blocks of the log; null if not logged
   * @param trend form of trend to go with it
   */
  void tryOut(
      Surroundings.Quantity quantity, double @Nullable [] logged, TrendFitter.Candidate trend) {
    if (logged == null || !longEnough || !varies(logged)) {
      return;
    }
    // About their mean, so that the trend is that at the log's usual surroundings.
    double mean = Arrays.stream(logged).average().orElse(0);
    double[] values = Arrays.stream(logged).map(v -> v - mean).toArray();
    double delay = delay(values, trend);
    double terms = 1; // the delay, beside the coefficient that the criterion counts itself
    TrendFitter.Candidate without = later.refit(trend, columns(later));
    double gain =
        without.bic() - with(values, delay, trend).bic() - terms * Math.log(later.blocks());
    if (gain >= STRONG) {
      Estimate late = new Estimate(delay, delayUncertainty(values, delay, trend));
      series.add(values);
      found.add(new Surroundings(quantity, new Estimate(0, 0), late, gain));
    }
  }

  /**
   * The shortest delay that explains the log as well as any: where the surroundings swing evenly,
   * half a period more and the other sign would do too.
   */
  private double delay(double[] values, TrendFitter.Candidate trend) {
    double step = longest / (DELAYS - 1);
    double[] likelihood = new double[DELAYS];
    for (int k = 0; k < DELAYS; k++) {
      likelihood[k] = with(values, k * step, trend).fit().logLikelihood();
    }
    double[] peaks = new double[DELAYS];
    double[] heights = new double[DELAYS];
    int count = 0;
    double most = Double.NEGATIVE_INFINITY;
    for (int k = 0; k < DELAYS; k++) {
      boolean rises = k == 0 || likelihood[k] >= likelihood[k - 1];
      boolean falls = k == DELAYS - 1 || likelihood[k] >= likelihood[k + 1];
      if (rises && falls) {
        peaks[count] = peak(values, k * step, step, trend);
        heights[count] = with(values, peaks[count], trend).fit().logLikelihood();
        most = Math.max(most, heights[count++]);
      }
    }
    for (int k = 0; k < count; k++) {
      if (heights[k] >= most - AS_WELL) {
        return peaks[k];
      }
    }
    return 0;
  }

  /** Climbs from a place on the grid of delays with ever smaller steps. */
  private double peak(double[] values, double start, double step, TrendFitter.Candidate trend) {
    double delay = start;
    double most = with(values, delay, trend).fit().logLikelihood();
    for (double reach = step / 2; reach > step / 40; reach /= 2) {
      double from = delay;
      for (double other : new double[] {from - reach, from + reach}) {
        double inside = Math.max(0, Math.min(longest, other));
        double likelihood = with(values, inside, trend).fit().logLikelihood();
        if (likelihood > most) {
          most = likelihood;
          delay = inside;
        }
      }
    }
    return delay;
  }

  private static boolean varies(double[] series) {
    for (double v : series) {
      if (v != series[0]) {
        return true;
      }
    }
    return false;
  }

  private TrendFitter.Candidate with(double[] values, double delay, TrendFitter.Candidate trend) {
    List<double[]> all = new ArrayList<>(List.of(columns(later)));
    all.add(delayed(values, delay, later));
    return later.refit(trend, all.toArray(double[][]::new));
  }

  /** From the curvature of the likelihood, felt at the first distance where it falls by a half. */
  private double delayUncertainty(double[] values, double delay, TrendFitter.Candidate trend) {
    double step = longest / (DELAYS - 1);
    double middle = with(values, delay, trend).fit().logLikelihood();
    for (double h = step / 16; h < longest; h *= 2) {
      double upper = with(values, Math.min(longest, delay + h), trend).fit().logLikelihood();
      double lower = with(values, Math.max(0, delay - h), trend).fit().logLikelihood();
      double fall = middle - Math.min(upper, lower);
      if (fall >= 0.5) {
        return h / Math.sqrt(2 * fall);
      }
    }
    return longest;
  }

  /** The series as it was so long before, at the fine blocks of a fitter. */
  private double[] delayed(double[] values, double delay, TrendFitter fitter) {
    Blocks at = fitter.fine();
    double[] result = new double[at.size()];
    int j = 0;
    for (int i = 0; i < result.length; i++) {
      double t = at.centre(i) - delay;
      while (j + 2 < values.length && fine.centre(j + 1) <= t) {
        j++;
      }
      double share = (t - fine.centre(j)) / (fine.centre(j + 1) - fine.centre(j));
      share = Math.max(0, Math.min(1, share));
      result[i] = values[j] + share * (values[j + 1] - values[j]);
    }
    return result;
  }
}
