package org.fieldwright.core.harmonic;

import java.util.List;
import java.util.Set;

/** A finished fit of a field, with what its model and the model's covariance are made from. */
public interface FieldFit extends FitResiduals {
  Sampling sampling();

  int degree();

  /** The terms fitted, in the order of {@link Term#index()}. */
  List<Term> terms();

  /** Terms up to the degree that the sampling does not determine. */
  Set<Term> unseen();

  /** The fitted expansion, in the unit of the values; unseen terms are 0. */
  Expansion expansion();

  /** Σ w T_a T_b of the terms over the rows used, row-major. */
  double[] gram();

  /** Covariance of the terms per unit variance of a row of weight one, row-major. */
  double[] unitCovariance();

  /**
   * Covariance of the terms from errors that differ from row to row.
   *
   * @param variance of each row's weighted value; 0 where it is set aside
   */
  double[] covariance(double[] variance);

  /**
   * What a common error of several rows makes of the terms.
   *
   * @param pattern of the weighted values; 0 on rows set aside
   */
  Effect effect(double[] pattern);

  /**
   * Of a pattern.
   *
   * @param terms change of each
   * @param left |pattern|² in the residuals
   */
  @SuppressWarnings("ArrayRecordComponent") // read at once, never compared
  record Effect(double[] terms, double left) {}
}
