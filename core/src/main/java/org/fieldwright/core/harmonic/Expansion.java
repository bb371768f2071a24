package org.fieldwright.core.harmonic;

import java.util.Arrays;
import org.fieldwright.core.geometry.Vec3;

/**
 * A field in a source-free ball as a sum of Schmidt semi-normalised solid harmonics,
 *
 * <pre>B(r,θ,φ) = Σ_n Σ_m (r/R0)^n S_nm(cos θ) [a_nm cos mφ + b_nm sin mφ].</pre>
 *
 * <p>Immutable. The unit of the coefficients (T, ppm, ppm per ampere) is the caller's; every
 * operation keeps it, derivatives divide by metres.
 */
public final class Expansion {
  private final SolidHarmonics basis;
  private final double[] coefficients;

  /**
   * @param referenceRadius R0, m
   * @param coefficients in the order of {@link Term#index()}; the length must be (degree + 1)²
   */
  public Expansion(double referenceRadius, double[] coefficients) {
    int degree = (int) Math.round(Math.sqrt(coefficients.length)) - 1;
    if (Term.count(degree) != coefficients.length) {
      throw new IllegalArgumentException(
          coefficients.length
              + " coefficients do not fill whole degrees: (degree + 1)² are needed");
    }
    this.basis = new SolidHarmonics(degree, referenceRadius);
    this.coefficients = coefficients.clone();
  }

  private Expansion(SolidHarmonics basis, double[] owned) {
    this.basis = basis;
    this.coefficients = owned;
  }

  /** The zero field. */
  public static Expansion zero(int degree, double referenceRadius) {
    return new Expansion(referenceRadius, new double[Term.count(degree)]);
  }

  public int degree() {
    return basis.degree();
  }

  /** R0, m. */
  public double referenceRadius() {
    return basis.referenceRadius();
  }

  /** A copy, in the order of {@link Term#index()}. */
  public double[] coefficients() {
    return coefficients.clone();
  }

  /** 0 above the degree. */
  public double coefficient(int index) {
    return index < coefficients.length ? coefficients[index] : 0;
  }

  public double coefficient(Term term) {
    return coefficient(term.index());
  }

  /** The field at a point. Valid inside the ball that holds no source. */
  public double at(Vec3 p) {
    return sum(basis.evaluate(p));
  }

  private double sum(double[] h) {
    double sum = 0;
    for (int i = h.length - 1; i >= 0; i--) {
      sum += h[i] * coefficients[i];
    }
    return sum;
  }

  /** The vector whose three components are given, as {@link #gradient} gives them, at a point. */
  public static Vec3 at(Expansion[] components, Vec3 p) {
    double[] h = components[0].basis.evaluate(p); // the basis of all three
    return new Vec3(components[0].sum(h), components[1].sum(h), components[2].sum(h));
  }

  /** The same field with its coefficients referred to another radius. */
  public Expansion withReferenceRadius(double radius) {
    double[] c = coefficients.clone();
    double ratio = radius / referenceRadius();
    double power = 1;
    for (int n = 0; n <= degree(); n++) {
      for (int i = n * n; i < (n + 1) * (n + 1); i++) {
        c[i] *= power;
      }
      power *= ratio;
    }
    return new Expansion(new SolidHarmonics(degree(), radius), c);
  }

  /** Cut off above, or padded with zeros to, another degree. */
  public Expansion withDegree(int degree) {
    return new Expansion(referenceRadius(), Arrays.copyOf(coefficients, Term.count(degree)));
  }

  /** The same field with its n = 0 term replaced. */
  public Expansion withConstant(double value) {
    double[] c = coefficients.clone();
    c[0] = value;
    return new Expansion(basis, c);
  }

  public Expansion times(double factor) {
    double[] c = coefficients.clone();
    for (int i = 0; i < c.length; i++) {
      c[i] *= factor;
    }
    return new Expansion(basis, c);
  }

  /** The sum, referred to this expansion's radius, of the larger degree of the two. */
  public Expansion plus(Expansion other) {
    Expansion o = other.withReferenceRadius(referenceRadius());
    boolean larger = o.degree() > degree();
    double[] c = (larger ? o : this).coefficients.clone();
    double[] add = (larger ? this : o).coefficients;
    for (int i = 0; i < add.length; i++) {
      c[i] += add[i];
    }
    return new Expansion(larger ? o.basis : basis, c);
  }

  public Expansion minus(Expansion other) {
    return plus(other.times(-1));
  }

  /**
   * ∂/∂x, ∂/∂y and ∂/∂z as expansions of one degree less (of degree 0 for a constant field), per
   * metre.
   *
   * <p>From ∂z(r^n P_nm) = (n+m) r^(n−1) P_(n−1)m and (∂x ∓ i∂y) acting on r^n P_nm e^(imφ) giving
   * (n+m)(n+m−1) r^(n−1) P_(n−1)(m−1) e^(i(m−1)φ) and −r^(n−1) P_(n−1)(m+1) e^(i(m+1)φ), without
   * the Condon–Shortley phase (Hobson 1931, §92), with Schmidt's factors divided out pairwise.
   */
  public Expansion[] gradient() {
    int lower = Math.max(0, degree() - 1);
    double[] dx = new double[Term.count(lower)];
    double[] dy = new double[Term.count(lower)];
    double[] dz = new double[Term.count(lower)];
    for (int n = 1; n <= degree(); n++) {
      for (int m = 0; m <= n; m++) {
        differentiateTerm(n, m, dx, dy, dz);
      }
    }
    SolidHarmonics lowerBasis = new SolidHarmonics(lower, referenceRadius());
    double perMetre = 1 / referenceRadius();
    return new Expansion[] {
      new Expansion(lowerBasis, dx).times(perMetre),
      new Expansion(lowerBasis, dy).times(perMetre),
      new Expansion(lowerBasis, dz).times(perMetre)
    };
  }

  private void differentiateTerm(int n, int m, double[] dx, double[] dy, double[] dz) {
    int row = n * n;
    int below = (n - 1) * (n - 1);
    double a = m == 0 ? coefficients[row] : coefficients[row + 2 * m - 1];
    double b = m == 0 ? 0 : coefficients[row + 2 * m];
    if (m < n) {
      double root = Math.sqrt((double) n * n - (double) m * m);
      if (m == 0) {
        dz[below] += root * a;
      } else {
        dz[below + 2 * m - 1] += root * a;
        dz[below + 2 * m] += root * b;
      }
    }
    if (m + 1 <= n - 1) {
      double beta = m == 0 ? Math.sqrt(n * (n - 1.0) / 2) : Math.sqrt((n - m) * (n - m - 1.0)) / 2;
      dx[below + 2 * m + 1] -= beta * a;
      dx[below + 2 * m + 2] -= beta * b;
      dy[below + 2 * m + 1] += beta * b;
      dy[below + 2 * m + 2] -= beta * a;
    }
    if (m == 1) {
      double alpha = Math.sqrt(2.0 * n * (n + 1.0)) / 2;
      dx[below] += alpha * a;
      dy[below] += alpha * b;
    } else if (m > 1) {
      double alpha = Math.sqrt((n + m) * (n + m - 1.0)) / 2;
      dx[below + 2 * m - 3] += alpha * a;
      dx[below + 2 * m - 2] += alpha * b;
      dy[below + 2 * m - 3] += alpha * b;
      dy[below + 2 * m - 2] -= alpha * a;
    }
  }
}
