package org.fieldwright.core.homogeneity;

import java.util.Arrays;
import org.fieldwright.core.geometry.GaussLegendre;
import org.fieldwright.core.geometry.Volume;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.SolidHarmonics;
import org.fieldwright.core.harmonic.Term;

/**
 * Carries a field on the surface of an ellipsoid over to the unit sphere: u ↦ B(a u_x, b u_y, c
 * u_z) is a polynomial of the same degree, so on the sphere it is a sum of surface harmonics up to
 * that degree. They are found by quadrature that is exact for it (Gauss–Legendre in cos θ, equal
 * azimuths), with an error of rounding only. Inside the unit sphere the result means nothing.
 */
final class EllipsoidOnSphere {
  private final Volume.Ellipsoid ellipsoid;

  EllipsoidOnSphere(Volume.Ellipsoid ellipsoid) {
    this.ellipsoid = ellipsoid;
  }

  /** An expansion at R0 = 1 m that takes on the unit sphere the values of the field. */
  Expansion carry(Expansion field) {
    int degree = field.degree();
    GaussLegendre rule = GaussLegendre.of(degree + 1);
    SolidHarmonics source = new SolidHarmonics(degree, field.referenceRadius());
    SolidHarmonics unit = new SolidHarmonics(degree, 1);
    double[] coefficients = field.coefficients();
    double[] h = new double[unit.count()];
    double[] result = new double[unit.count()];
    double[] a = new double[degree + 1];
    double[] b = new double[degree + 1];
    for (int i = 0; i < rule.size(); i++) {
      double cos = rule.node(i);
      double sin = Math.sqrt((1 - cos) * (1 + cos));
      ringAmplitudes(source, coefficients, sin, cos, a, b);
      unit.evaluate(sin, 0, cos, h, 0);
      for (int n = 0; n <= degree; n++) {
        double factor = rule.weight(i) / 2 * (2 * n + 1);
        for (int m = 0; m <= n; m++) {
          int k = Term.index(n, m, Term.Part.COS);
          double share = factor * h[k] * (m == 0 ? 1 : 0.5);
          result[k] += share * a[m];
          if (m > 0) {
            result[k + 1] += share * b[m];
          }
        }
      }
    }
    return new Expansion(1, result);
  }

  /** Fourier amplitudes in the azimuth of u at one polar angle. */
  private void ringAmplitudes(
      SolidHarmonics source,
      double[] coefficients,
      double sin,
      double cos,
      double[] a,
      double[] b) {
    int degree = source.degree();
    int azimuths = 2 * degree + 1;
    Arrays.fill(a, 0);
    Arrays.fill(b, 0);
    double[] h = new double[coefficients.length];
    for (int j = 0; j < azimuths; j++) {
      double phi = 2 * Math.PI * j / azimuths;
      double x = ellipsoid.semiX() * sin * Math.cos(phi);
      double y = ellipsoid.semiY() * sin * Math.sin(phi);
      source.evaluate(x, y, ellipsoid.semiZ() * cos, h, 0);
      double value = 0;
      for (int k = 0; k < h.length; k++) {
        value += coefficients[k] * h[k];
      }
      value /= azimuths;
      a[0] += value;
      for (int m = 1; m <= degree; m++) {
        double angle = 2 * Math.PI * ((long) m * j % azimuths) / azimuths;
        a[m] += 2 * value * Math.cos(angle);
        b[m] += 2 * value * Math.sin(angle);
      }
    }
  }
}
