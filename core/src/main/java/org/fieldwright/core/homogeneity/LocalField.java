package org.fieldwright.core.homogeneity;

import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.SolidHarmonics;

/**
 * Value, gradient and second derivatives of a field at a point. The derivatives of an expansion are
 * expansions of lower degree, so one evaluation of the basis serves all ten. Holds its own work
 * arrays: one thread at a time.
 */
final class LocalField {
  private final SolidHarmonics basis;
  private final double[] h;
  private final double[] field;
  private final double[][] first = new double[3][]; // x, y, z
  private final double[][] second = new double[5][]; // xx, xy, xz, yy, yz

  /** ∂/∂x, ∂/∂y, ∂/∂z at the last point, per metre. */
  final double[] gradient = new double[3];

  /** xx, xy, xz, yy, yz, zz at the last point, per square metre. */
  final double[] hessian = new double[6];

  LocalField(Expansion e) {
    basis = new SolidHarmonics(e.degree(), e.referenceRadius());
    h = new double[basis.count()];
    field = e.coefficients();
    Expansion[] g = e.gradient();
    Expansion[] gx = g[0].gradient();
    Expansion[] gy = g[1].gradient();
    for (int i = 0; i < 3; i++) {
      first[i] = g[i].coefficients();
      second[i] = gx[i].coefficients();
    }
    second[3] = gy[1].coefficients();
    second[4] = gy[2].coefficients();
  }

  /** The field alone. */
  double valueAt(double[] p) {
    basis.evaluate(p[0], p[1], p[2], h, 0);
    return sum(field);
  }

  /** The field; fills {@link #gradient} and {@link #hessian}. */
  double differentiateAt(double[] p) {
    double value = valueAt(p);
    for (int i = 0; i < 3; i++) {
      gradient[i] = sum(first[i]);
    }
    for (int i = 0; i < 5; i++) {
      hessian[i] = sum(second[i]);
    }
    hessian[5] = -hessian[0] - hessian[3]; // Laplace
    return value;
  }

  private double sum(double[] coefficients) {
    double sum = 0;
    for (int i = 0; i < coefficients.length; i++) {
      sum += coefficients[i] * h[i];
    }
    return sum;
  }

  /** aᵀ H b with the last second derivatives. */
  double curvature(double[] a, double[] b) {
    double[] s = hessian;
    return a[0] * (s[0] * b[0] + s[1] * b[1] + s[2] * b[2])
        + a[1] * (s[1] * b[0] + s[3] * b[1] + s[4] * b[2])
        + a[2] * (s[2] * b[0] + s[4] * b[1] + s[5] * b[2]);
  }

  /** a · ∇ with the last gradient. */
  double slope(double[] a) {
    return a[0] * gradient[0] + a[1] * gradient[1] + a[2] * gradient[2];
  }
}
