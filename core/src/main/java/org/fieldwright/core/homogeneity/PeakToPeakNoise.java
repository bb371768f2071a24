package org.fieldwright.core.homogeneity;

import java.util.SplittableRandom;
import org.fieldwright.core.harmonic.Covariance;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.uncertainty.AdaptiveMonteCarlo;
import org.fieldwright.core.uncertainty.Interval;

/**
 * What noise in the coefficients does to peak-to-peak, which is no smooth function of them: the
 * search is repeated on fields drawn about a stand-in for the true one (JCGM 101, seeded).
 *
 * <p>The stand-in is the fitted field with the noise's share of the power taken off degree by
 * degree (c_n scaled by √(1 − tr C_n/|c_n|²), or dropped): the fitted field itself is rougher than
 * the true one, and draws about it would understate how much noise raises peak-to-peak. Draws come
 * in pairs of opposite sign, so that what is linear cancels from the mean rise.
 *
 * <p>A first batch tells whether peak-to-peak is as good as linear; then the linear uncertainty
 * stands and no more is drawn. Otherwise draws go on until mean, scatter and interval ends are
 * known to a fifth of the linear uncertainty.
 */
final class PeakToPeakNoise {
  private static final long SEED = 20_550_731L;
  private static final int BATCH = 64;
  private static final int MOST_BATCHES = 16;

  /** Mean rise below this share of the linear uncertainty: as good as linear. */
  private static final double LINEAR = 0.1;

  private static final double TOLERANCE = 0.2;

  /**
   * The stand-in is not the truth: the mean rise found about it is itself uncertain by about this
   * share (measured over fields from pure signal to nearly pure noise).
   */
  private static final double BIAS_UNCERTAINTY = 0.4;

  private static final double NORMAL_95 = 1.96;

  private final Expansion standIn;
  private final double standInPeakToPeak;
  private final CoefficientNoise noise;
  private final SurfaceExtremes search;
  private final double[] drawn;

  /**
   * What noise does.
   *
   * @param bias mean rise of peak-to-peak
   * @param interval 95 % interval of the true peak-to-peak
   */
  record Effect(double bias, Interval interval) {}

  PeakToPeakNoise(Expansion field, Covariance covariance, SurfaceExtremes search) {
    this.search = search;
    standIn = withoutNoisePower(field, covariance);
    standInPeakToPeak = search.of(standIn).peakToPeak();
    noise = new CoefficientNoise(covariance);
    drawn = new double[covariance.size()];
  }

  /**
   * The effect on a fitted peak-to-peak.
   *
   * @param found in the fitted field
   * @param linear its standard uncertainty by linear propagation
   */
  Effect effect(double found, double linear) {
    double[] first = new double[BATCH];
    fill(new SplittableRandom(SEED), first);
    double bias = 0;
    for (double rise : first) {
      bias += rise / BATCH;
    }
    double below = NORMAL_95 * linear;
    double above = below;
    if (Math.abs(bias) > LINEAR * linear) {
      AdaptiveMonteCarlo.Outcome outcome =
          new AdaptiveMonteCarlo(SEED, BATCH, MOST_BATCHES).run(this::fill, TOLERANCE * linear);
      bias = outcome.mean();
      // The rise is what the fit has too much: a large rise means a true value far below.
      below = outcome.interval().high() - bias;
      above = bias - outcome.interval().low();
    }
    double centre = found - bias;
    double doubt = NORMAL_95 * BIAS_UNCERTAINTY * bias;
    return new Effect(
        bias,
        new Interval(
            Math.max(0, centre - Math.hypot(below, doubt)),
            Math.max(0, centre + Math.hypot(above, doubt))));
  }

  private void fill(SplittableRandom random, double[] batch) {
    for (int i = 0; i < batch.length; i += 2) {
      noise.draw(random, drawn);
      batch[i] = rise(1);
      batch[i + 1] = rise(-1);
    }
  }

  private double rise(int sign) {
    double[] c = standIn.coefficients();
    for (int i = 0; i < Math.min(c.length, drawn.length); i++) {
      c[i] += sign * drawn[i];
    }
    Expansion field = new Expansion(standIn.referenceRadius(), c);
    return search.of(field).peakToPeak() - standInPeakToPeak;
  }

  private static Expansion withoutNoisePower(Expansion field, Covariance covariance) {
    double[] c = field.coefficients();
    for (int n = 1; n <= field.degree(); n++) {
      double power = 0;
      double expected = 0;
      for (int i = n * n; i < (n + 1) * (n + 1); i++) {
        power += c[i] * c[i];
        expected += i < covariance.size() ? covariance.at(i, i) : 0;
      }
      double factor = power > expected ? Math.sqrt(1 - expected / power) : 0;
      for (int i = n * n; i < (n + 1) * (n + 1); i++) {
        c[i] *= factor;
      }
    }
    return new Expansion(field.referenceRadius(), c);
  }
}
