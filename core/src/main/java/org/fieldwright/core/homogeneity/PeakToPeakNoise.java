package org.fieldwright.core.homogeneity;

import java.util.SplittableRandom;
import org.fieldwright.core.harmonic.Covariance;
import org.fieldwright.core.harmonic.Expansion;

/**
 * What noise in the coefficients does to peak-to-peak: the search repeated on fields drawn about
 * the fitted one (JCGM 101, seeded). Peak-to-peak is convex in the coefficients, so zero-mean noise
 * raises it on average. Draws come in pairs of opposite sign: what is linear cancels in a pair, and
 * the rise, which is of second order, is left nearly alone.
 */
final class PeakToPeakNoise {
  private static final long SEED = 20_550_731L;
  private static final int BATCH = 16;
  private static final int MOST_BATCHES = 8;

  /** Pairs are drawn until the mean rise is known to this share of the standard uncertainty. */
  private static final double ENOUGH = 0.03;

  private final Expansion field;
  private final Covariance covariance;
  private final SurfaceExtremes search;

  PeakToPeakNoise(Expansion field, Covariance covariance, SurfaceExtremes search) {
    this.field = field;
    this.covariance = covariance;
    this.search = search;
  }

  /**
   * Mean rise of peak-to-peak.
   *
   * @param plain peak-to-peak of the fitted field
   * @param u its linear standard uncertainty, the yardstick of what matters
   */
  double bias(double plain, double u) {
    CoefficientNoise noise = new CoefficientNoise(covariance);
    SplittableRandom random = new SplittableRandom(SEED);
    double[] c = field.coefficients();
    double[] drawn = new double[covariance.size()];
    double sum = 0;
    double squares = 0;
    int count = 0;
    for (int batch = 0; batch < MOST_BATCHES; batch++) {
      for (int i = 0; i < BATCH; i++, count++) {
        noise.draw(random, drawn);
        double rise = (peakToPeak(c, drawn, 1) + peakToPeak(c, drawn, -1)) / 2 - plain;
        sum += rise;
        squares += rise * rise;
      }
      double variance = (squares - sum * sum / count) / (count - 1);
      if (variance / count <= ENOUGH * ENOUGH * u * u) {
        break;
      }
    }
    return sum / count;
  }

  private double peakToPeak(double[] c, double[] noise, int sign) {
    double[] sum = c.clone();
    for (int i = 0; i < Math.min(c.length, noise.length); i++) {
      sum[i] += sign * noise[i];
    }
    return search.of(new Expansion(field.referenceRadius(), sum)).peakToPeak();
  }
}
