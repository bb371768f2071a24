package org.fieldwright.core.homogeneity;

import org.fieldwright.core.geometry.Volume;
import org.fieldwright.core.harmonic.Expansion;

/**
 * RMS of a field about its mean over a volume or over the volume's surface.
 *
 * <p>Closed form on spheres: surface mean square Σ c² (R/R0)^2n/(2n+1), volume mean square that
 * times 3/(2n+3), n ≥ 1 (Schmidt; orthogonality of surface harmonics). Elsewhere by quadrature,
 * exact for the squared field save for the surface of an ellipsoid, whose area element is no
 * polynomial ({@link OctantRule}).
 */
public final class Rms {
  private Rms() {}

  /**
   * The RMS of a field about its mean.
   *
   * @param measure {@link Limit.Measure#VOLUME_RMS} or {@link Limit.Measure#SURFACE_RMS}
   * @return in the unit of the field; its constant term plays no part
   */
  public static double of(Expansion field, Volume volume, Limit.Measure measure) {
    if (volume instanceof Volume.Sphere s) {
      double sum = 0;
      double[] c = field.coefficients();
      for (int n = 1; n <= field.degree(); n++) {
        double weight = sphereWeight(n, s.radius() / field.referenceRadius(), measure);
        for (int i = n * n; i < (n + 1) * (n + 1); i++) {
          sum += c[i] * c[i] * weight;
        }
      }
      return Math.sqrt(sum);
    }
    return OctantRule.of(volume, measure, field.degree()).rms(field);
  }

  /** Mean square of a Schmidt harmonic of degree n ≥ 1, given R/R0. */
  static double sphereWeight(int n, double ratio, Limit.Measure measure) {
    double surface = Math.pow(ratio, 2 * n) / (2 * n + 1);
    return switch (measure) {
      case SURFACE_RMS -> surface;
      case VOLUME_RMS -> surface * 3 / (2 * n + 3);
      case PEAK_TO_PEAK, DRIFT -> throw new IllegalArgumentException(measure.id() + " is no RMS");
    };
  }
}
