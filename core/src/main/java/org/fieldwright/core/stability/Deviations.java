package org.fieldwright.core.stability;

import java.util.concurrent.ExecutorService;
import org.jspecify.annotations.Nullable;

/**
 * Deviations of an evenly spaced record, by the estimators of NIST SP 1065 (W. J. Riley, Handbook
 * of Frequency Stability Analysis, 2008, chapter 5). The record y (ppm, or any unit) plays the part
 * of the handbook's fractional frequency; its running sum x that of the phase.
 *
 * <p>All deviations carry the unit of y, {@link DeviationKind#TIME} and {@link
 * DeviationKind#TIME_TOTAL} that of y times seconds. Modified total and time total hold the
 * white-noise bias factor √0.73 and Hadamard total √0.995 (m ≥ 2), as the handbook's published
 * values do; total holds none. Cost: O(n) for each m, save modified total and Hadamard total, which
 * are O(n·m).
 *
 * <p>Every estimator is blind to a constant, so a level near the mean of y is taken off first to
 * keep the digits; rounding then stays at a few 1e-12 of the result for a million points.
 */
public final class Deviations {
  /** E[modified total variance] / modified variance for white noise. */
  private static final double MODIFIED_TOTAL_BIAS = 0.73;

  /** E[Hadamard total variance] / Hadamard variance for white noise, m ≥ 2. */
  private static final double HADAMARD_TOTAL_BIAS = 0.995;

  /** Values that the level of a record is taken from. */
  private static final int LEVEL_VALUES = 4096;

  private final double interval;
  private final double[] y;
  private final double[] x;

  /**
   * Of an evenly spaced record.
   *
   * @param y values; not copied, not changed
   * @param interval from one to the next, s
   */
  public Deviations(double[] y, double interval) {
    if (y.length < 2) {
      throw new IllegalArgumentException("deviations need at least two values");
    }
    this.interval = interval;
    this.y = y;
    this.x = runningSum(y);
  }

  /** Number of values. */
  public int size() {
    return y.length;
  }

  /** From one value to the next, s. */
  public double interval() {
    return interval;
  }

  /** The running sum of the values less a level: the handbook's phase over the interval. */
  double[] phase() {
    return x;
  }

  /** The largest m that leaves at least one term in the estimator's sum. */
  public int largestFactor(DeviationKind kind) {
    return switch (kind) {
      case ALLAN, OVERLAPPING_ALLAN -> y.length / 2;
      case TOTAL -> y.length - 1;
      case MODIFIED_ALLAN, TIME, MODIFIED_TOTAL, TIME_TOTAL -> (y.length + 1) / 3;
      case HADAMARD, OVERLAPPING_HADAMARD, HADAMARD_TOTAL -> y.length / 3;
    };
  }

  /** The deviation at averaging factor m, 1 … {@link #largestFactor}. */
  public double of(DeviationKind kind, int m) {
    if (m < 1 || m > largestFactor(kind)) {
      throw new IllegalArgumentException(kind.id() + " of " + y.length + " values has no m = " + m);
    }
    return switch (kind) {
      case ALLAN -> allan(m);
      case OVERLAPPING_ALLAN -> overlappingAllan(new int[] {m}, null)[0];
      case MODIFIED_ALLAN -> modifiedAllan(m);
      case TIME -> asTime(m, modifiedAllan(m));
      case HADAMARD -> hadamard(m, m);
      case OVERLAPPING_HADAMARD -> hadamard(m, 1);
      case TOTAL -> total(m);
      case MODIFIED_TOTAL -> modifiedTotal(m);
      case TIME_TOTAL -> asTime(m, modifiedTotal(m));
      case HADAMARD_TOTAL -> hadamardTotal(m);
    };
  }

  /**
   * Overlapping Allan deviations at several m in one sweep (SP 1065 eq. 5.4).
   *
   * @param m increasing
   * @param executor shares the sweep out; null keeps it in the caller's thread
   */
  public double[] overlappingAllan(int[] m, @Nullable ExecutorService executor) {
    double[] deviations = new SecondDifferences(x, m).sumsOfSquares(executor);
    for (int k = 0; k < m.length; k++) {
      double terms = x.length - 2.0 * m[k];
      deviations[k] = Math.sqrt(deviations[k] / (2 * terms)) / m[k];
    }
    return deviations;
  }

  private double allan(int m) {
    double sum = 0;
    int terms = 0;
    for (int i = 0; i + 2 * m < x.length; i += m) {
      double d = x[i] - 2 * x[i + m] + x[i + 2 * m];
      sum += d * d;
      terms++;
    }
    return Math.sqrt(sum / (2 * terms)) / m;
  }

  private double modifiedAllan(int m) {
    double window = 0;
    for (int i = 0; i < m; i++) {
      window += x[i] - 2 * x[i + m] + x[i + 2 * m];
    }
    double sum = window * window;
    int terms = 1;
    for (int i = 0; i + 3 * m < x.length; i++) {
      window += x[i + 3 * m] - 3 * x[i + 2 * m] + 3 * x[i + m] - x[i];
      sum += window * window;
      terms++;
    }
    return Math.sqrt(sum / (2.0 * terms)) / m / m;
  }

  private double hadamard(int m, int stride) {
    double sum = 0;
    int terms = 0;
    for (int i = 0; i + 3 * m < x.length; i += stride) {
      double d = x[i + 3 * m] - 3 * x[i + 2 * m] + 3 * x[i + m] - x[i];
      sum += d * d;
      terms++;
    }
    return Math.sqrt(sum / (6.0 * terms)) / m;
  }

  /** The phase is continued at both ends, turned about its end points. */
  private double total(int m) {
    int n = x.length;
    double sum = 0;
    for (int i = 1; i < n - 1; i++) {
      double before = i >= m ? x[i - m] : 2 * x[0] - x[m - i];
      double after = i + m < n ? x[i + m] : 2 * x[n - 1] - x[2 * (n - 1) - i - m];
      double d = before - 2 * x[i] + after;
      sum += d * d;
    }
    return Math.sqrt(sum / (2.0 * (n - 2))) / m;
  }

  private double modifiedTotal(int m) {
    double meanSquare = ReflectedSegments.meanSquare(x, m);
    return Math.sqrt(meanSquare / 2 / MODIFIED_TOTAL_BIAS) / m;
  }

  private double hadamardTotal(int m) {
    if (m == 1) {
      return hadamard(1, 1);
    }
    return Math.sqrt(ReflectedSegments.meanSquare(y, m) / 6 / HADAMARD_TOTAL_BIAS);
  }

  private double asTime(int m, double modified) {
    return m * interval * modified / Math.sqrt(3);
  }

  /** Four quarters at once: one running sum alone waits for each addition to finish. */
  private static double[] runningSum(double[] y) {
    double level = level(y);
    double[] x = new double[y.length + 1];
    int quarter = y.length / 4;
    double a = 0;
    double b = 0;
    double c = 0;
    double d = 0;
    for (int i = 0; i < quarter; i++) {
      a += y[i] - level;
      b += y[i + quarter] - level;
      c += y[i + 2 * quarter] - level;
      d += y[i + 3 * quarter] - level;
      x[i + 1] = a;
      x[i + 1 + quarter] = b;
      x[i + 1 + 2 * quarter] = c;
      x[i + 1 + 3 * quarter] = d;
    }
    addTo(x, quarter + 1, 2 * quarter + 1, a);
    addTo(x, 2 * quarter + 1, 3 * quarter + 1, a + b);
    addTo(x, 3 * quarter + 1, 4 * quarter + 1, a + b + c);
    for (int i = 4 * quarter; i < y.length; i++) {
      x[i + 1] = x[i] + y[i] - level;
    }
    return x;
  }

  private static void addTo(double[] x, int from, int to, double offset) {
    for (int i = from; i < to; i++) {
      x[i] += offset;
    }
  }

  /** Near enough to the mean to keep the running sum small; what is left of it does not matter. */
  private static double level(double[] y) {
    int stride = Math.max(1, y.length / LEVEL_VALUES);
    double sum = 0;
    int n = 0;
    for (int i = stride / 2; i < y.length; i += stride) {
      sum += y[i];
      n++;
    }
    return sum / n;
  }
}
