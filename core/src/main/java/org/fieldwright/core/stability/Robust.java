package org.fieldwright.core.stability;

import java.util.Arrays;

/** Medians and scales that a few wrong values do not move. */
final class Robust {
  /** Values that a scale is estimated from at most; 1 % precise, and quick for any log. */
  private static final int ENOUGH = 20_000;

  /** ppm; far below what any reader resolves, above what arithmetic in tesla leaves. */
  private static final double SAME = 1e-7;

  private Robust() {}

  /** Median of the values that are not NaN among from … to − 1; NaN if none is. */
  static double median(Series values, int from, int to) {
    double[] kept = new double[to - from];
    int n = 0;
    for (int i = from; i < to; i++) {
      double value = values.at(i);
      if (!Double.isNaN(value)) {
        kept[n++] = value;
      }
    }
    if (n == 0) {
      return Double.NaN;
    }
    Arrays.sort(kept, 0, n);
    return n % 2 == 1 ? kept[n / 2] : (kept[n / 2 - 1] + kept[n / 2]) / 2;
  }

  /**
   * Standard deviation of the bulk: half the distance between the quantiles at 16 % and 84 %, from
   * evenly picked values, NaN skipped. Never below the step that the values are rounded to, nor
   * zero: a log of repeated values has nothing unusual in it. Infinite with fewer than three
   * values.
   */
  static double scatter(double[] values) {
    return scatter(Series.of(values));
  }

  /** The same of values that lie in no array. */
  static double scatter(Series values) {
    double[] kept = thinned(values);
    if (kept.length < 3) {
      return Double.POSITIVE_INFINITY;
    }
    double bulk = (quantile(kept, 0.8413) - quantile(kept, 0.1587)) / 2;
    double size = Math.max(Math.abs(kept[0]), Math.abs(kept[kept.length - 1]));
    return Math.max(Math.max(bulk, roundingStep(kept)), 1e-9 * size + 1e-9);
  }

  /**
   * The step that values are rounded to: the least distance of different ones; 0 if all are equal.
   */
  static double rounding(Series values) {
    return roundingStep(thinned(values));
  }

  private static double roundingStep(double[] sorted) {
    if (sorted.length == 0) {
      return 0;
    }
    // Closer ones are the same rounded value, a conversion of units apart.
    double same = Math.max(SAME, 1e-8 * (sorted[sorted.length - 1] - sorted[0]));
    double step = Double.POSITIVE_INFINITY;
    for (int i = 1; i < sorted.length; i++) {
      double difference = sorted[i] - sorted[i - 1];
      step = difference > same ? Math.min(step, difference) : step;
    }
    return Double.isInfinite(step) ? 0 : step;
  }

  /** Median of evenly picked values, NaN skipped; 0 if none is left. */
  static double median(double[] values) {
    double[] kept = thinned(Series.of(values));
    return kept.length == 0 ? 0 : quantile(kept, 0.5);
  }

  private static double quantile(double[] sorted, double q) {
    double at = q * (sorted.length - 1);
    int low = (int) at;
    int high = Math.min(sorted.length - 1, low + 1);
    return sorted[low] + (at - low) * (sorted[high] - sorted[low]);
  }

  private static double[] thinned(Series values) {
    int stride = Math.max(1, values.size() / ENOUGH);
    double[] kept = new double[values.size() / stride + 1];
    int n = 0;
    for (int i = 0; i < values.size(); i += stride) {
      double value = values.at(i);
      if (!Double.isNaN(value)) {
        kept[n++] = value;
      }
    }
    double[] sorted = Arrays.copyOf(kept, n);
    Arrays.sort(sorted);
    return sorted;
  }

  /** Median of the differences of neighbours; the usual interval of a list of times. */
  static double medianInterval(double[] time) {
    int stride = Math.max(1, time.length / ENOUGH);
    double[] differences = new double[(time.length - 2) / stride + 1];
    for (int k = 0; k < differences.length; k++) {
      differences[k] = time[k * stride + 1] - time[k * stride];
    }
    return median(differences);
  }

  /**
   * Running median with a window that shrinks evenly towards both ends; NaN values are skipped.
   *
   * @param halfWidth values on each side
   */
  static double[] runningMedian(double[] values, int halfWidth) {
    int n = values.length;
    double[] result = new double[n];
    double[] window = new double[2 * halfWidth + 1];
    int size = 0;
    int from = 0;
    int to = 0;
    for (int i = 0; i < n; i++) {
      int half = Math.min(halfWidth, Math.min(i, n - 1 - i));
      while (from < i - half) {
        size = remove(window, size, values[from++]);
      }
      while (to <= i + half) {
        size = insert(window, size, values[to++]);
      }
      result[i] = size == 0 ? Double.NaN : (window[(size - 1) / 2] + window[size / 2]) / 2;
    }
    return result;
  }

  private static int insert(double[] window, int size, double value) {
    if (Double.isNaN(value)) {
      return size;
    }
    int found = Arrays.binarySearch(window, 0, size, value);
    int at = found < 0 ? -found - 1 : found;
    System.arraycopy(window, at, window, at + 1, size - at);
    window[at] = value;
    return size + 1;
  }

  private static int remove(double[] window, int size, double value) {
    if (Double.isNaN(value)) {
      return size;
    }
    int at = Arrays.binarySearch(window, 0, size, value);
    System.arraycopy(window, at + 1, window, at, size - at - 1);
    return size - 1;
  }
}
