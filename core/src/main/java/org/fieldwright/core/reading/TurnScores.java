package org.fieldwright.core.reading;

import java.util.Arrays;

/**
 * What speaks for a fault of a turn, by one posterior of its field: how far a reading, a setting's
 * angle or a probe's offset stands from what everything else makes of it. Each method leaves its
 * answer in {@link #value} and {@link #variance}.
 *
 * <p>A fault of amplitude γ adds γc to the readings. With R the covariance of their errors, H the
 * design and P the posterior covariance, γ = a/b and its variance is 1/b, with a = cᵀR⁻¹(y − Hx), b
 * = cᵀR⁻¹c − vᵀPv, v = HᵀR⁻¹c: what is not known of the field yet makes b small.
 */
final class TurnScores {
  /** Less than this part of a fault's column beside the field tells nothing. */
  private static final double LEAST_SPARE = 1e-3;

  /** Of what stands near a reading. */
  private static final double NEAR_DEG = 30;

  private static final double QUIET = 0.75;

  /** Root mean square of the quieter three quarters of normal deviates of variance 1. */
  private static final double QUIET_RMS = 0.607;

  /** Standard deviation of that, relative, times the root of their number. */
  private static final double WIDTH = 0.92;

  private static final int LEAST_COMPANY = 5;

  private final TurnReadings readings;
  private final TurnFaults faults;
  private final TurnPosterior posterior;
  private final ProbeArray array;
  private double angleVariance;
  private double[] column = new double[0];
  private double[] other = new double[0];
  private final double[] pair = new double[2];
  private double[] sizes = new double[0];
  double value;
  double variance;

  TurnScores(ProbeArray array, TurnReadings readings, TurnFaults faults, TurnPosterior posterior) {
    this.array = array;
    this.readings = readings;
    this.faults = faults;
    this.posterior = posterior;
  }

  /** Looks at a posterior that was brought up to date. */
  void refresh(TurnPosterior.Noise noise) {
    angleVariance = noise.angle() * noise.angle();
    if (column.length < posterior.stride()) {
      column = new double[posterior.stride()];
      other = new double[posterior.stride()];
    }
  }

  /** |value| in standard deviations. */
  double score() {
    return Math.abs(value) / Math.sqrt(variance);
  }

  private boolean has(int k, int p) {
    return readings.has(k, p) && !faults.excludes(k, p);
  }

  /** dᵀD⁻¹(y − Hx) of a setting. */
  private double along(int k) {
    double a = 0;
    for (int p = 0; p < readings.probes(); p++) {
      if (has(k, p)) {
        a += posterior.slope(k, p) * posterior.residual(k, p) / posterior.variance(p);
      }
    }
    return a;
  }

  /** Whether the angle of a setting that is believed could be wrong at all, at little cost. */
  boolean angleStirs(int k, double least) {
    double g = posterior.angleWeight(k);
    return g > 0 && Math.abs(along(k)) > least * Math.sqrt(g * (1 + angleVariance * g));
  }

  /** The same of a reading that is used. */
  boolean readingStirs(int k, int p, double least) {
    return Math.abs(posterior.residual(k, p)) > least * Math.sqrt(posterior.variance(p));
  }

  /**
   * Error of the angle of a setting that is believed, rad; its whitened column stays in {@link
   * #other}.
   *
   * @return whether the readings tell
   */
  boolean angle(int k) {
    double g = posterior.angleWeight(k);
    double damped = 1 / (1 + angleVariance * g);
    posterior.angleColumn(k, other);
    for (int i = 0; i < posterior.size(); i++) {
      other[i] *= damped;
    }
    return fault(along(k) * damped, g * damped);
  }

  /** Error of a reading that is used, ppm. */
  boolean reading(int k, int p) {
    double w = 1 / posterior.variance(p);
    double shared = posterior.angleLoss(k) * posterior.slope(k, p) * w;
    posterior.row(readings, k, p, other);
    posterior.angleColumn(k, column);
    for (int i = 0; i < posterior.size(); i++) {
      other[i] = w * other[i] - shared * column[i];
    }
    double a = w * posterior.residual(k, p) - shared * along(k);
    return fault(a, w - shared * posterior.slope(k, p) * w);
  }

  private boolean fault(double a, double own) {
    posterior.whiten(other);
    double b = own - posterior.square(other);
    value = a / b;
    variance = 1 / b;
    return b > LEAST_SPARE * own;
  }

  /** Offset of a probe, ppm, its spread as stated included in the variance. */
  boolean offset(int p) {
    boolean tells = posterior.offset(p, pair, other);
    value = pair[0];
    variance = pair[1] + posterior.offsetStated(p) * posterior.offsetStated(p);
    return tells;
  }

  /** The drift and its variance, ppm per hour. */
  void drift() {
    value = posterior.drift();
    double u = posterior.driftUncertainty(other);
    variance = u * u;
  }

  /**
   * Where a setting stands of whose angle nothing is believed, rad from where it should; its
   * whitened column stays in {@link #column}.
   */
  void freed(int k) {
    double g = posterior.angleWeight(k);
    posterior.angleColumn(k, column);
    posterior.whiten(column);
    value = faults.shift(k) + along(k) / g;
    variance = 1 / g + posterior.square(column) / (g * g) + angleVariance;
  }

  /** Error of a reading that is left out, ppm. */
  void excluded(int k, int p) {
    posterior.row(readings, k, p, column);
    posterior.whiten(column);
    value = posterior.residual(k, p);
    double d = posterior.slope(k, p);
    variance = posterior.variance(p) + d * d * angleVariance + posterior.square(column);
  }

  /**
   * 2 ln of the odds of a fault that is taken up against the best setting elsewhere whose angle
   * would explain the same.
   *
   * @param p −1 for the angle itself
   */
  double againstOtherAngles(int k, int p) {
    if (p < 0) {
      freed(k);
    } else {
      excluded(k, p);
    }
    double mine = value;
    double itsVariance = variance;
    double least = mine * mine / itsVariance;
    for (int r = 0; r < readings.settings(); r++) {
      if (!faults.frees(r) && posterior.angleWeight(r) > 0 && angle(r)) {
        double change = 0;
        for (int i = 0; i < posterior.size(); i++) {
          change += column[i] * other[i];
        }
        if (p < 0) {
          change /= posterior.angleWeight(k);
        } else if (r == k) {
          change -= posterior.slope(k, p);
        }
        double left = mine + change * value;
        double odds = left * left / (itsVariance + change * change * variance);
        least = Math.min(least, odds - value * value / variance);
      }
    }
    return least;
  }

  /** Uncertainty of the slopes that tell a setting's angle, relative to them. */
  double slopeUncertainty(int k) {
    double unsure = 0;
    for (int p = 0; p < readings.probes(); p++) {
      if (has(k, p)) {
        posterior.slopeRow(k, p, other);
        posterior.whiten(other);
        unsure += posterior.square(other) / posterior.variance(p);
      }
    }
    return Math.sqrt(unsure / posterior.angleWeight(k));
  }

  /**
   * By how much the quieter three quarters of what stands near scatter more than they should; ≥ 1.
   *
   * @param p a reading: its neighbours on the sphere; −1: those of the setting
   * @param spare part of a reading's variance that the fit leaves
   */
  double company(int k, int p, double spare) {
    if (sizes.length < readings.settings() * readings.probes()) {
      sizes = new double[2 * readings.settings() * readings.probes()];
    }
    int count = 0;
    double near = Math.cos(Math.toRadians(NEAR_DEG));
    for (int l = 0; l < readings.settings(); l++) {
      for (int q = 0; q < readings.probes(); q++) {
        boolean beside = p < 0 ? l == k : (l != k || q != p) && cosine(k, p, l, q) > near;
        if (beside && readings.has(l, q)) {
          sizes[count++] =
              faults.excludes(l, q)
                  ? Double.MAX_VALUE
                  : Math.abs(posterior.residual(l, q)) / Math.sqrt(posterior.variance(q) * spare);
        }
      }
    }
    if (count < LEAST_COMPANY) {
      return 1;
    }
    Arrays.sort(sizes, 0, count);
    int quiet = (int) Math.ceil(QUIET * count);
    double sum = 0;
    for (int i = 0; i < quiet; i++) {
      sum += sizes[i] * sizes[i];
    }
    return Math.max(1, Math.sqrt(sum / quiet) / QUIET_RMS / (1 + 2 * WIDTH / Math.sqrt(count)));
  }

  private double cosine(int k, int p, int l, int q) {
    double a = array.probes().get(p).polar();
    double b = array.probes().get(q).polar();
    double turned = Math.toRadians(readings.angleDeg(k) - readings.angleDeg(l));
    return Math.cos(a) * Math.cos(b) + Math.sin(a) * Math.sin(b) * Math.cos(turned);
  }
}
