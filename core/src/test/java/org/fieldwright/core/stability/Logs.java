package org.fieldwright.core.stability;

import java.util.function.DoubleUnaryOperator;

/** Field logs for tests: a sample at every interval, the field a function of time. */
final class Logs {
  static final double NOMINAL = 0.55;
  static final double HOUR = 3600;

  private Logs() {}

  /**
   * A log of the field alone.
   *
   * @param ppm of 0.55 T, by s since the start; NaN for a lost lock
   */
  static FieldLog of(int samples, double interval, DoubleUnaryOperator ppm) {
    return of(samples, interval, ppm, t -> Double.NaN, t -> Double.NaN, t -> Double.NaN);
  }

  static FieldLog of(
      int samples,
      double interval,
      DoubleUnaryOperator ppm,
      DoubleUnaryOperator current,
      DoubleUnaryOperator temperature,
      DoubleUnaryOperator pressure) {
    FieldLog.Builder builder = new FieldLog.Builder();
    for (int i = 0; i < samples; i++) {
      double t = i * interval;
      builder.add(
          1_790_000_000L + (long) t,
          (int) Math.round((t - Math.floor(t)) * 1e9),
          NOMINAL * (1 + 1e-6 * ppm.applyAsDouble(t)),
          FieldLog.Builder.NO_PROBE,
          current.applyAsDouble(t),
          temperature.applyAsDouble(t),
          pressure.applyAsDouble(t));
    }
    return builder.build();
  }
}
