package org.fieldwright.core.stability;

/**
 * A sum of functions of time, each with a linear coefficient, whose shapes share nonlinear
 * parameters: y(t) = Σ c[k] φ[k](t; α).
 */
interface SeparableModel {

  /** Number of functions. */
  int functions();

  /** Number of shape parameters. */
  int shapes();

  /**
   * Evaluates at a time.
   *
   * @param phi filled with the functions
   * @param slopes filled with ∂φ[k]/∂α[q] at k · shapes() + q
   */
  void at(double t, double[] alpha, double[] phi, double[] slopes);
}
