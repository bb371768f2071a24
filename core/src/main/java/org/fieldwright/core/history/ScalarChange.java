package org.fieldwright.core.history;

import org.fieldwright.core.uncertainty.Tails;

/**
 * One number of a magnet held against what its earlier life predicts.
 *
 * @param found now
 * @param expected by the visits before
 * @param uncertainty standard uncertainty of the difference, ppm (ppm/h for a drift)
 * @param degreesOfFreedom on which the uncertainty rests; infinite where it is stated alone
 * @param chance of a difference as large without any change
 * @param correctedChance the same, for having asked several questions at once (Holm)
 * @param changed whether the corrected chance is at most {@link MagnetLife#LEVEL}
 */
public record ScalarChange(
    double found,
    double expected,
    double uncertainty,
    double degreesOfFreedom,
    double chance,
    double correctedChance,
    boolean changed) {

  static ScalarChange of(double found, double expected, double u, double degreesOfFreedom) {
    double p = Tails.twoSided((found - expected) / u, degreesOfFreedom);
    return new ScalarChange(found, expected, u, degreesOfFreedom, p, p, p <= MagnetLife.LEVEL);
  }

  ScalarChange corrected(double p) {
    return new ScalarChange(
        found, expected, uncertainty, degreesOfFreedom, chance, p, p <= MagnetLife.LEVEL);
  }

  public double difference() {
    return found - expected;
  }
}
