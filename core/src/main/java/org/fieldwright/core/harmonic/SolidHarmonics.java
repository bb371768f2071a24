package org.fieldwright.core.harmonic;

import org.fieldwright.core.geometry.Vec3;

/**
 * Values of the Schmidt semi-normalised regular solid harmonics (r/R0)^n S_nm(cos θ) cos mφ, sin
 * mφ.
 *
 * <p>Evaluated in Cartesian form, as homogeneous polynomials of x, y, z: nothing is singular on the
 * axis or at the origin. The recurrence runs upwards in n at fixed m, started from the sectoral
 * term; both carry Schmidt's factors throughout, so nothing overflows and the relative error grows
 * only linearly with n (checked to n = 60 against extended precision).
 *
 * <p>Source of the recurrence: the three-term relation of Legendre functions in degree, DLMF
 * 14.10.3, multiplied by Schmidt's normalisation.
 */
public final class SolidHarmonics {
  private final int degree;
  private final double referenceRadius;
  private final double[] rise; // (2n−1)/√(n²−m²), by column m then n
  private final double[] fall; // √((n−1)²−m²)/√(n²−m²)
  private final double[] sectoral; // S_mm / S_(m−1)(m−1) without sin θ

  /**
   * @param degree highest degree n evaluated
   * @param referenceRadius R0, m
   */
  public SolidHarmonics(int degree, double referenceRadius) {
    if (degree < 0) {
      throw new IllegalArgumentException("degree must not be negative, found " + degree);
    }
    if (!(referenceRadius > 0)) {
      throw new IllegalArgumentException(
          "reference radius must be positive, found " + referenceRadius + " m");
    }
    this.degree = degree;
    this.referenceRadius = referenceRadius;
    int side = degree + 1;
    rise = new double[side * side];
    fall = new double[side * side];
    sectoral = new double[side];
    for (int m = 0; m <= degree; m++) {
      sectoral[m] = m <= 1 ? 1 : Math.sqrt((2.0 * m - 1) / (2.0 * m));
      for (int n = m + 1; n <= degree; n++) {
        double root = Math.sqrt((double) n * n - (double) m * m);
        rise[m * side + n] = (2.0 * n - 1) / root;
        fall[m * side + n] = Math.sqrt((n - 1.0) * (n - 1.0) - (double) m * m) / root;
      }
    }
  }

  public int degree() {
    return degree;
  }

  /** R0, m. */
  public double referenceRadius() {
    return referenceRadius;
  }

  /** Number of values written by {@link #evaluate}. */
  public int count() {
    return Term.count(degree);
  }

  /**
   * Writes every harmonic at one point.
   *
   * @param x metres
   * @param y metres
   * @param z metres
   * @param out at least offset + {@link #count()} long; filled in the order of {@link Term#index()}
   *     from {@code offset}
   */
  public void evaluate(double x, double y, double z, double[] out, int offset) {
    double u = x / referenceRadius;
    double v = y / referenceRadius;
    double w = z / referenceRadius;
    double r2 = u * u + v * v + w * w;
    int side = degree + 1;
    double cos = 1; // Re, Im of the sectoral (u + iv)^m with its factor
    double sin = 0;
    for (int m = 0; m <= degree; m++) {
      if (m > 0) {
        double c = (cos * u - sin * v) * sectoral[m];
        sin = (cos * v + sin * u) * sectoral[m];
        cos = c;
      }
      double before = 0;
      double now = 1;
      for (int n = m; n <= degree; n++) {
        if (n > m) {
          double next = rise[m * side + n] * w * now - fall[m * side + n] * r2 * before;
          before = now;
          now = next;
        }
        int k = offset + n * n;
        if (m == 0) {
          out[k] = now;
        } else {
          out[k + 2 * m - 1] = now * cos;
          out[k + 2 * m] = now * sin;
        }
      }
    }
  }

  /** Every harmonic at a point, in the order of {@link Term#index()}. */
  public double[] evaluate(Vec3 p) {
    double[] out = new double[count()];
    evaluate(p.x(), p.y(), p.z(), out, 0);
    return out;
  }
}
