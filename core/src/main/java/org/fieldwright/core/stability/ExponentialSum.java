package org.fieldwright.core.stability;

/** Σ c[k] e^(−λ[k] t), with or without a constant before it; the shapes are ln λ[k]. */
final class ExponentialSum implements SeparableModel {
  private final int count;
  private final int constant;

  ExponentialSum(int count, boolean withConstant) {
    this.count = count;
    this.constant = withConstant ? 1 : 0;
  }

  @Override
  public int functions() {
    return count + constant;
  }

  @Override
  public int shapes() {
    return count;
  }

  @Override
  public void at(double t, double[] alpha, double[] phi, double[] slopes) {
    if (constant == 1) {
      phi[0] = 1;
    }
    for (int k = 0; k < count; k++) {
      double rate = Math.exp(alpha[k]);
      double value = Math.exp(-rate * t);
      phi[k + constant] = value;
      slopes[(k + constant) * count + k] = -rate * t * value;
    }
  }
}
