package org.fieldwright.core.correction;

import java.util.ArrayList;
import java.util.List;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.harmonic.Term;

/**
 * What an ampere in a coil does, from a survey with it on and one with it off.
 *
 * @param ppmPerAmpere of the centre field with the coil off
 * @param uncertainty standard uncertainty by term index, ppm per ampere
 */
@SuppressWarnings("ArrayRecordComponent") // handed on, not compared
public record CoilResponse(Expansion ppmPerAmpere, double[] uncertainty) {
  /** Terms below so many standard uncertainties are taken for noise. */
  private static final double SIGNIFICANT = 2;

  /**
   * On minus off. A drift of the magnet between the surveys enters the n = 0 term alone.
   *
   * @param amperes by which the current was higher with the coil on; not 0
   */
  public static CoilResponse of(FieldModel on, FieldModel off, double amperes) {
    double ratio = on.centreField() / off.centreField();
    Expansion difference =
        on.ppm().withConstant(1e6 * (ratio - 1) / ratio).times(ratio).minus(off.ppm());
    double[] uncertainty = new double[Term.count(difference.degree())];
    for (int k = 0; k < uncertainty.length; k++) {
      Term term = Term.at(k);
      uncertainty[k] = Math.hypot(of(on, term), of(off, term)) / Math.abs(amperes);
    }
    return new CoilResponse(difference.times(1 / amperes), uncertainty);
  }

  private static double of(FieldModel model, Term term) {
    return term.index() < model.covariance().size() ? model.standardUncertainty(term) : 0;
  }

  /** The terms from n = 1 that stand out of the noise. */
  public List<Term> significantTerms() {
    List<Term> terms = new ArrayList<>();
    for (int k = 1; k < uncertainty.length; k++) {
      if (Math.abs(ppmPerAmpere.coefficient(k)) > SIGNIFICANT * uncertainty[k]
          && ppmPerAmpere.coefficient(k) != 0) {
        terms.add(Term.at(k));
      }
    }
    return terms;
  }
}
