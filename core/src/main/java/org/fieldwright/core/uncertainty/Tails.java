package org.fieldwright.core.uncertainty;

import org.hipparchus.special.Beta;
import org.hipparchus.special.Erf;
import org.hipparchus.special.Gamma;

/**
 * Chances of a value as large as found, from the incomplete gamma and beta functions (NIST DLMF
 * 8.17, 8.11; relations 26.4.21, 26.6.2 and 26.7.1 of Abramowitz and Stegun). Infinite degrees of
 * freedom are those of a variance that is known.
 */
public final class Tails {
  private Tails() {}

  /** P(χ² ≥ x). */
  public static double chiSquare(double x, double degreesOfFreedom) {
    return Gamma.regularizedGammaQ(degreesOfFreedom / 2, x / 2);
  }

  /**
   * P(F ≥ x).
   *
   * @param above degrees of freedom of the numerator
   * @param below of the denominator; may be infinite
   */
  public static double f(double x, double above, double below) {
    return Double.isInfinite(below)
        ? chiSquare(above * x, above)
        : Beta.regularizedBeta(below / (below + above * x), below / 2, above / 2);
  }

  /** P(|t| ≥ |x|). */
  public static double twoSided(double x, double degreesOfFreedom) {
    return Double.isInfinite(degreesOfFreedom)
        ? Erf.erfc(Math.abs(x) / Math.sqrt(2))
        : f(x * x, 1, degreesOfFreedom);
  }
}
