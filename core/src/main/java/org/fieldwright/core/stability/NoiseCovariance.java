package org.fieldwright.core.stability;

import java.util.function.DoubleUnaryOperator;

/** Covariances of block means under slow noise, up to a factor; row-major. */
final class NoiseCovariance {

  private NoiseCovariance() {}

  /** Random walk: the covariance 1 − |h| on a log of unit length, averaged over pairs of blocks. */
  static double[] randomWalk(Blocks blocks) {
    return averaged(blocks, h -> h * h / 2 - Math.abs(h * h * h) / 6);
  }

  /** Flicker: −ln|h| on a log of unit length (positive definite there), averaged the same way. */
  static double[] flicker(Blocks blocks) {
    return averaged(
        blocks,
        h -> {
          double a = Math.abs(h);
          return a == 0 ? 0 : -a * a / 2 * (Math.log(a) - 1.5);
        });
  }

  /**
   * Mean of k(s − t) over s in one block and t in another.
   *
   * @param twiceIntegrated an even function whose second derivative is k
   */
  private static double[] averaged(Blocks blocks, DoubleUnaryOperator twiceIntegrated) {
    int n = blocks.size();
    double origin = blocks.from(0);
    double unit = blocks.to(n - 1) - origin;
    double[] covariance = new double[n * n];
    for (int i = 0; i < n; i++) {
      double a = (blocks.from(i) - origin) / unit;
      double b = (blocks.to(i) - origin) / unit;
      for (int j = 0; j <= i; j++) {
        double c = (blocks.from(j) - origin) / unit;
        double d = (blocks.to(j) - origin) / unit;
        double value =
            twiceIntegrated.applyAsDouble(b - c)
                + twiceIntegrated.applyAsDouble(a - d)
                - twiceIntegrated.applyAsDouble(b - d)
                - twiceIntegrated.applyAsDouble(a - c);
        covariance[i * n + j] = value / (b - a) / (d - c);
        covariance[j * n + i] = covariance[i * n + j];
      }
    }
    return covariance;
  }
}
