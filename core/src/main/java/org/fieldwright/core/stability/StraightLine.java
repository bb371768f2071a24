package org.fieldwright.core.stability;

/** c0 + c1 t, with t in hours from a middle time, so that c1 is in ppm per hour. */
final class StraightLine implements SeparableModel {
  private final double middle;

  StraightLine(double middleSeconds) {
    this.middle = middleSeconds;
  }

  @Override
  public int functions() {
    return 2;
  }

  @Override
  public int shapes() {
    return 0;
  }

  @Override
  public void at(double t, double[] alpha, double[] phi, double[] slopes) {
    phi[0] = 1;
    phi[1] = (t - middle) / Trend.SECONDS_PER_HOUR;
  }
}
