package org.fieldwright.core.harmonic;

import java.util.List;
import java.util.Set;

/**
 * The fitted expansion of a survey with its covariance.
 *
 * @param ppm the field as (B − Bc)/Bc·1e6, Schmidt, referred to R0; its n = 0 term is 0 and terms
 *     the sampling cannot see are 0 here and named in {@code unseen}
 * @param centreField Bc: the fitted field at the origin (the n = 0 coefficient), T
 * @param unseen terms up to the degree that the sampling does not determine
 * @param covariance ppm², the n = 0 row and column included; zero for unseen terms
 * @param shares the same covariance by its sources; they add up to it
 * @param condition 2-norm condition number of the weighted design matrix (Schmidt columns at R0, no
 *     nuisances)
 * @param residualRmsPpm √(Σ r²/degrees of freedom), unweighted
 * @param degreesOfFreedom readings less fitted unknowns
 * @param measuredRadius largest |r| of a reading used, m
 * @param degreeReason in a few words, why this degree
 */
public record FieldModel(
    Expansion ppm,
    double centreField,
    Set<Term> unseen,
    Covariance covariance,
    List<Share> shares,
    double condition,
    double residualRmsPpm,
    int degreesOfFreedom,
    double measuredRadius,
    String degreeReason) {

  public FieldModel {
    unseen = Set.copyOf(unseen);
    shares = List.copyOf(shares);
  }

  /** What one source of error adds to the covariance. */
  public record Share(Source source, Covariance covariance) {}

  /** Where the uncertainty of a survey comes from. */
  public enum Source {
    READING("scatter of the readings"),
    POSITION("position of the probes"),
    ANGLE("angle of the array"),
    NORMALISATION("probes against each other"),
    DRIFT("drift during the survey"),
    MODULUS("|B| read in place of the component");

    private final String words;

    Source(String words) {
      this.words = words;
    }

    /** In words, for reports. */
    public String words() {
      return words;
    }
  }

  /** Standard uncertainty of a coefficient, ppm; 0 for an unseen term. */
  public double standardUncertainty(Term term) {
    return Math.sqrt(covariance.at(term.index(), term.index()));
  }
}
