package org.fieldwright.core.history;

import java.util.List;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.Term;

/**
 * The harmonics of a survey held against those that the earlier surveys predict, all at once.
 *
 * @param differencePpm found less expected, at the life's reference radius; 0 for terms that were
 *     not compared
 * @param misfit dᵀS⁻¹d of the difference
 * @param terms compared
 * @param degreesOfFreedom on which S rests; infinite where it is stated alone
 * @param chance of a misfit as large without any change (F, or χ² per term where S is stated)
 * @param correctedChance the same, for having asked several questions at once (Holm)
 * @param changed whether the corrected chance is at most {@link MagnetLife#LEVEL}
 * @param outstanding terms that stand out even after correction for how many were looked at, the
 *     least likely first
 */
public record ShapeChange(
    Expansion differencePpm,
    double misfit,
    int terms,
    double degreesOfFreedom,
    double chance,
    double correctedChance,
    boolean changed,
    List<Outstanding> outstanding) {

  public ShapeChange {
    outstanding = List.copyOf(outstanding);
  }

  /**
   * A term that stands out.
   *
   * @param differencePpm found less expected
   * @param uncertainty standard, of the difference, ppm
   * @param correctedChance over all terms compared (Holm)
   */
  public record Outstanding(
      Term term, double differencePpm, double uncertainty, double correctedChance) {}

  ShapeChange corrected(double p) {
    return new ShapeChange(
        differencePpm,
        misfit,
        terms,
        degreesOfFreedom,
        chance,
        p,
        p <= MagnetLife.LEVEL,
        outstanding);
  }
}
