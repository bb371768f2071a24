package org.fieldwright.core.stability;

/** c + A ln(1 + t/t0), as flux creep settles; the shape is ln t0. */
final class LogarithmicDecay implements SeparableModel {

  @Override
  public int functions() {
    return 2;
  }

  @Override
  public int shapes() {
    return 1;
  }

  @Override
  public void at(double t, double[] alpha, double[] phi, double[] slopes) {
    double t0 = Math.exp(alpha[0]);
    phi[0] = 1;
    phi[1] = Math.log1p(t / t0);
    slopes[0] = 0;
    slopes[1] = -t / (t0 + t);
  }
}
