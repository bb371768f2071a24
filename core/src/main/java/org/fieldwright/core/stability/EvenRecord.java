package org.fieldwright.core.stability;

import java.util.Arrays;

/**
 * The longest evenly spaced stretch of a vetted log, steps taken out and short holes bridged by
 * straight lines: what deviations are taken of.
 *
 * <p>Bridged values are not readings; with a share of them above a few percent the deviations at
 * short averaging times come out low.
 */
final class EvenRecord {
  /** Intervals without a used sample that are still bridged. */
  private static final int LONGEST_BRIDGE = 60;

  private final double[] values;
  private final double bridgedShare;

  private EvenRecord(double[] values, double bridgedShare) {
    this.values = values;
    this.bridgedShare = bridgedShare;
  }

  /**
   * From a vetted log.
   *
   * @param heights of its steps, ppm
   */
  static EvenRecord of(VettedLog log, double[] heights) {
    double[] time = log.time();
    Deviating ppm = log.ppm();
    int bestFrom = 0;
    int bestTo = -1;
    int from = -1;
    int last = -1;
    for (int i = 0; i < ppm.size(); i++) {
      if (!ppm.isUsed(i)) {
        continue;
      }
      if (from < 0 || time[i] - time[last] > LONGEST_BRIDGE * log.interval()) {
        from = i;
      }
      last = i;
      if (bestTo < 0 || time[last] - time[from] > time[bestTo] - time[bestFrom]) {
        bestFrom = from;
        bestTo = last;
      }
    }
    return bestTo < 0
        ? new EvenRecord(new double[0], 0)
        : resampled(log, heights, bestFrom, bestTo);
  }

  /** One value for each interval: the sample next to it, or a point on the line between two. */
  private static EvenRecord resampled(VettedLog log, double[] heights, int from, int to) {
    double[] time = log.time();
    double interval = log.interval();
    int n = (int) Math.round((time[to] - time[from]) / interval) + 1;
    double[] values = new double[n];
    Arrays.fill(values, Double.NaN);
    int step = 0;
    double height = 0;
    int filled = 0;
    for (int i = from; i <= to; i++) {
      while (step < log.steps().length && log.steps()[step] <= i) {
        height += heights[step++];
      }
      int k = (int) Math.round((time[i] - time[from]) / interval);
      if (log.ppm().isUsed(i) && k < n) {
        filled += Double.isNaN(values[k]) ? 1 : 0;
        values[k] = log.ppm().at(i) - height;
      }
    }
    bridge(values);
    return new EvenRecord(values, 1 - (double) filled / n);
  }

  private static void bridge(double[] values) {
    int last = 0;
    for (int k = 1; k < values.length; k++) {
      if (!Double.isNaN(values[k])) {
        for (int j = last + 1; j < k; j++) {
          double share = (double) (j - last) / (k - last);
          values[j] = values[last] + share * (values[k] - values[last]);
        }
        last = k;
      }
    }
  }

  /** ppm, one for each interval. */
  double[] values() {
    return values;
  }

  /** Share of the values that are not readings. */
  double bridgedShare() {
    return bridgedShare;
  }
}
