package org.fieldwright.core.stability;

import java.util.Arrays;
import org.jspecify.annotations.Nullable;

/**
 * Finds the last change of the magnet's current in a log and how the field followed it. The current
 * counts as changing where it differs from its settled value by more than a thousandth of the
 * largest current.
 */
final class RampFinder {
  private static final double CHANGE = 1e-3;
  private static final int BLOCKS = 64;

  /** Part of the change, from its end, that the rate is taken from. */
  private static final double RATE_SHARE = 0.25;

  private RampFinder() {}

  /**
   * The last ramp, or null if the current is not logged or does not change.
   *
   * @param target field aimed at, T; null if unknown
   */
  static @Nullable Ramp find(FieldLog log, @Nullable Double target) {
    double[] current = log.current();
    if (current == null) {
      return null;
    }
    double largest = Arrays.stream(current).filter(Double::isFinite).map(Math::abs).max().orElse(0);
    double tolerance = CHANGE * largest;
    double start = firstFinite(current);
    double end =
        Robust.median(Series.of(current), Math.max(0, current.length - 31), current.length);
    int last = current.length - 1;
    while (last >= 0 && !(Math.abs(current[last] - end) > tolerance)) {
      last--;
    }
    int first = 0;
    while (first < last && !(Math.abs(current[first] - start) > tolerance)) {
      first++;
    }
    if (last - first < 5) {
      return null;
    }
    boolean settled = last < current.length - 16;
    return followed(log, current, first, settled ? last + 1 : current.length - 1, settled, target);
  }

  private static double firstFinite(double[] values) {
    return Arrays.stream(values).filter(Double::isFinite).findFirst().orElse(0);
  }

  private static @Nullable Ramp followed(
      FieldLog log,
      double[] current,
      int first,
      int last,
      boolean settled,
      @Nullable Double target) {
    Estimate perAmpere = slope(log, current, first, last, false);
    int from = last - (int) Math.ceil(RATE_SHARE * (last - first));
    Estimate rate = slope(log, current, Math.min(from, last - 5), last, true);
    if (perAmpere == null || rate == null) {
      return null;
    }
    Double missing = null;
    Double hours = null;
    if (target != null) {
      missing = target - lastFinite(log.field());
      double needed = missing / rate.value();
      hours = settled || !(needed >= 0) ? null : needed;
    }
    return new Ramp(first, last, settled, perAmpere, rate, missing, hours);
  }

  private static double lastFinite(double[] values) {
    int i = values.length - 1;
    while (i > 0 && Double.isNaN(values[i])) {
      i--;
    }
    return values[i];
  }

  /** Of the field, by hours or by amperes, under correlated noise. */
  private static @Nullable Estimate slope(
      FieldLog log, double[] current, int first, int last, boolean byTime) {
    double[] time = Arrays.copyOfRange(log.time(), first, last + 1);
    double[] x = new double[time.length];
    double[] field = new double[time.length];
    for (int i = 0; i < time.length; i++) {
      x[i] = byTime ? time[i] / Trend.SECONDS_PER_HOUR : current[first + i];
      field[i] = Double.isNaN(x[i]) ? Double.NaN : log.field()[first + i];
      x[i] = Double.isNaN(field[i]) ? Double.NaN : x[i];
    }
    double interval = Robust.medianInterval(time);
    Blocks fields = Blocks.of(time, Series.of(field), interval, new int[0], BLOCKS);
    double[] means = Blocks.of(time, Series.of(x), interval, new int[0], BLOCKS).means();
    if (fields.size() < 4) {
      return null;
    }
    CorrelatedRegression.Fit fit =
        new CorrelatedRegression(fields).fit(new double[][] {fields.column(t -> 1), means});
    return new Estimate(fit.coefficient(1), fit.uncertainty(1));
  }
}
