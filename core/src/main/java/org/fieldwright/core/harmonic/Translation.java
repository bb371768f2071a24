package org.fieldwright.core.harmonic;

import org.fieldwright.core.geometry.Vec3;

/**
 * The same field about another origin, exactly.
 *
 * <p>With T_n^m = √((n−m)!(n+m)!) R_n^m and R_n^m = r^n P_n^m e^(imφ)/(n+m)!, the addition theorem
 * of regular solid harmonics (Steinborn &amp; Ruedenberg, Adv. Quantum Chem. 7 (1973) 1) reads
 *
 * <pre>T_n^m(r+d) = Σ_k Σ_q √(C(n+m,k+q) C(n−m,k−q)) T_k^q(r) T_(n−k)^(m−q)(d),</pre>
 *
 * a finite sum: terms of degree n feed only degrees k ≤ n, so nothing is cut off.
 */
public final class Translation {
  private final int degree;
  private final double[] re; // T_n^m(d), m = −n..n, at n² + n + m
  private final double[] im;
  private final double[][] binomial;

  /**
   * @param degree highest degree of the expansions to move
   * @param referenceRadius their R0, m
   * @param to the new origin, m
   */
  public Translation(int degree, double referenceRadius, Vec3 to) {
    this.degree = degree;
    double[] h = new SolidHarmonics(degree, referenceRadius).evaluate(to);
    re = new double[Term.count(degree)];
    im = new double[Term.count(degree)];
    for (int n = 0; n <= degree; n++) {
      re[n * n + n] = h[n * n];
      for (int m = 1; m <= n; m++) {
        double c = h[n * n + 2 * m - 1] / Math.sqrt(2);
        double s = h[n * n + 2 * m] / Math.sqrt(2);
        int sign = m % 2 == 0 ? 1 : -1;
        re[n * n + n + m] = c;
        im[n * n + n + m] = s;
        re[n * n + n - m] = sign * c;
        im[n * n + n - m] = -sign * s;
      }
    }
    binomial = binomials(2 * degree);
  }

  private static double[][] binomials(int top) {
    double[][] b = new double[top + 1][];
    for (int n = 0; n <= top; n++) {
      b[n] = new double[n + 1];
      b[n][0] = 1;
      b[n][n] = 1;
      for (int k = 1; k < n; k++) {
        b[n][k] = b[n - 1][k - 1] + b[n - 1][k];
      }
    }
    return b;
  }

  /** The expansion about {@code to} of the field that {@code field} describes about the origin. */
  public static Expansion of(Expansion field, Vec3 to) {
    double[] moved =
        new Translation(field.degree(), field.referenceRadius(), to).apply(field.coefficients());
    return new Expansion(field.referenceRadius(), moved);
  }

  /** Moves coefficients in the order of {@link Term#index()}. */
  double[] apply(double[] coefficients) {
    double[] out = new double[coefficients.length];
    for (int n = 0; n <= degree; n++) {
      for (int m = -n; m <= n; m++) {
        double a = m == 0 ? coefficients[n * n] : coefficients[n * n + 2 * Math.abs(m) - 1];
        double b = m == 0 ? 0 : coefficients[n * n + 2 * Math.abs(m)];
        if (a != 0 || b != 0) {
          spread(n, m, a, b, out);
        }
      }
    }
    return out;
  }

  /** Adds what the term g·T_n^m becomes; only q ≥ 0 is gathered, the rest being its conjugate. */
  private void spread(int n, int m, double a, double b, double[] out) {
    int sign = m < 0 && m % 2 != 0 ? -1 : 1;
    double gRe = m == 0 ? a : sign * a / Math.sqrt(2);
    double gIm = m == 0 ? 0 : (m > 0 ? -b : sign * b) / Math.sqrt(2);
    for (int k = 0; k <= n; k++) {
      int rest = n - k;
      for (int q = Math.max(0, m - rest); q <= Math.min(k, m + rest); q++) {
        int at = rest * rest + rest + m - q;
        double w = Math.sqrt(binomial[n + m][k + q] * binomial[n - m][k - q]);
        double real = w * (gRe * re[at] - gIm * im[at]);
        double imag = w * (gRe * im[at] + gIm * re[at]);
        if (q == 0) {
          out[k * k] += real;
        } else {
          out[k * k + 2 * q - 1] += Math.sqrt(2) * real;
          out[k * k + 2 * q] -= Math.sqrt(2) * imag;
        }
      }
    }
  }
}
