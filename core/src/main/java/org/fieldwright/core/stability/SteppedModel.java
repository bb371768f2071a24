package org.fieldwright.core.stability;

/** A model with a step of free height at each of these times. */
final class SteppedModel implements SeparableModel {
  private final SeparableModel inner;
  private final double[] stepTimes;

  SteppedModel(SeparableModel inner, double[] stepTimes) {
    this.inner = inner;
    this.stepTimes = stepTimes;
  }

  @Override
  public int functions() {
    return inner.functions() + stepTimes.length;
  }

  @Override
  public int shapes() {
    return inner.shapes();
  }

  @Override
  public void at(double t, double[] alpha, double[] phi, double[] slopes) {
    inner.at(t, alpha, phi, slopes);
    for (int s = 0; s < stepTimes.length; s++) {
      phi[inner.functions() + s] = t >= stepTimes[s] ? 1 : 0;
    }
  }
}
