package org.fieldwright.core.magnetostatics;

/**
 * Complete elliptic integrals by Bulirsch's general form
 *
 * <pre>cel(kc, p, a, b) = ∫_0^(π/2) (a cos²φ + b sin²φ)/(cos²φ + p sin²φ) dφ/√(cos²φ + kc² sin²φ)
 * </pre>
 *
 * <p>R. Bulirsch, Numerische Mathematik 13 (1969) 305: Bartky's quadratic transformation, a handful
 * of steps to the last digit.
 */
public final class EllipticIntegrals {
  private EllipticIntegrals() {}

  /** Relative step at which the next, quadratic, one is below a double's last digit. */
  private static final double CLOSE_ENOUGH = 1e-8;

  /**
   * Bulirsch's complete integral.
   *
   * @param kc complementary modulus, &gt; 0
   * @param p &gt; 0
   */
  public static double cel(double kc, double p, double a, double b) {
    if (!(kc > 0) || !(p > 0)) {
      throw new IllegalArgumentException("cel needs kc > 0 and p > 0, found " + kc + ", " + p);
    }
    double root = Math.sqrt(p);
    return iterate(kc, kc, 1, root, a, b / root);
  }

  /**
   * Goes on from a state of the transformation. A caller who has done the first step on paper, and
   * cancelled there what would cancel in digits, enters here.
   */
  static double iterate(
      double kStart, double eStart, double mStart, double p0, double a0, double b0) {
    double k = kStart;
    double e = eStart;
    double m = mStart;
    double p = p0;
    double a = a0;
    double b = b0;
    while (true) {
      double before = a;
      a += b / p;
      double g = e / p;
      b = 2 * (b + before * g);
      p += g;
      g = m;
      m += k;
      if (Math.abs(g - k) <= g * CLOSE_ENOUGH) {
        return Math.PI / 2 * (b + a * m) / (m * (m + p));
      }
      k = 2 * Math.sqrt(e);
      e = k * m;
    }
  }

  /** K of parameter m = k², 0 ≤ m &lt; 1. */
  public static double completeK(double m) {
    return cel(Math.sqrt(1 - m), 1, 1, 1);
  }

  /** E of parameter m = k², 0 ≤ m &lt; 1. */
  public static double completeE(double m) {
    return cel(Math.sqrt(1 - m), 1, 1, 1 - m);
  }
}
