package org.fieldwright.core.harmonic;

import org.fieldwright.core.geometry.Vec3;

/**
 * One more pass over the points of a {@link MomentFit}: their residuals, formed from the points
 * themselves, give back the digits that the normal equations lost (corrected seminormal equations,
 * Björck 1987). Each step shrinks the error by the same factor, 1e-16 times the square of the
 * condition number or so. Not thread-safe.
 */
public final class CorrectionStep {
  private final MomentFit fit;
  private final int degree;
  private final SolidHarmonics basis;
  private final double[] coefficients;
  private final double[] right;
  private final double[] harmonics;
  private double square;

  /**
   * @param coefficients so far, all terms up to the degree of the fit or a lower one
   */
  public CorrectionStep(MomentFit fit, double[] coefficients) {
    this.fit = fit;
    this.coefficients = coefficients;
    degree = (int) Math.round(Math.sqrt(coefficients.length)) - 1;
    basis = new SolidHarmonics(degree, fit.referenceRadius());
    right = new double[coefficients.length];
    harmonics = new double[coefficients.length];
  }

  /** Takes a point in, as the moments did. */
  public void add(Vec3 at, double weight, double value) {
    basis.evaluate(at.x(), at.y(), at.z(), harmonics, 0);
    add(harmonics, weight, value);
  }

  /** The same by the harmonics there, at least up to the degree. */
  void add(double[] harmonicsThere, double weight, double value) {
    double residual = value - Combinations.product(coefficients, harmonicsThere, right.length);
    double weighted = weight * residual;
    square += weighted * residual;
    for (int k = 0; k < right.length; k++) {
      right[k] += weighted * harmonicsThere[k];
    }
  }

  /** Σ w r² with the coefficients so far. */
  public double residualSumOfSquares() {
    return square;
  }

  /** The coefficients corrected, all points taken in. */
  public double[] coefficients() {
    double[] corrected = fit.solve(right, degree);
    for (int k = 0; k < corrected.length; k++) {
      corrected[k] += coefficients[k];
    }
    return corrected;
  }
}
