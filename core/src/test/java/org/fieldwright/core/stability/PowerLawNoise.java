package org.fieldwright.core.stability;

import java.util.Random;

/**
 * Noise with the power spectrum of the field ∝ f^α, by fractional differencing (N. J. Kasdin, Proc.
 * IEEE 83 (1995) 802): h[0] = 1, h[k] = h[k−1] (k − 1 − α/2)/k, convolved with unit white noise.
 * The first {@code n} of 2 n values are thrown away, so that the record does not begin at rest.
 */
final class PowerLawNoise {

  private PowerLawNoise() {}

  static double[] of(NoiseType type, int n, Random random) {
    return switch (type) {
      case WHITE -> white(n, random);
      case RANDOM_WALK -> sum(white(n, random));
      default -> filtered(type.alpha(), n, random);
    };
  }

  private static double[] white(int n, Random random) {
    double[] y = new double[n];
    for (int i = 0; i < n; i++) {
      y[i] = random.nextGaussian();
    }
    return y;
  }

  private static double[] sum(double[] y) {
    for (int i = 1; i < y.length; i++) {
      y[i] += y[i - 1];
    }
    return y;
  }

  private static double[] filtered(int alpha, int n, Random random) {
    double[] h = new double[2 * n];
    h[0] = 1;
    for (int k = 1; k < h.length; k++) {
      h[k] = h[k - 1] * (k - 1 - alpha / 2.0) / k;
    }
    double[] w = white(2 * n, random);
    double[] y = new double[n];
    for (int i = 0; i < n; i++) {
      for (int k = 0; k <= i + n; k++) {
        y[i] += h[k] * w[i + n - k];
      }
    }
    return y;
  }
}
