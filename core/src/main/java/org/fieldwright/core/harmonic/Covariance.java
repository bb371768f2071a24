package org.fieldwright.core.harmonic;

/** A symmetric covariance matrix of expansion coefficients, by {@link Term#index()}. Immutable. */
public final class Covariance {
  private final int size;
  private final double[] values;

  /**
   * @param size number of terms
   * @param values row-major, size × size; only symmetric matrices make sense
   */
  public Covariance(int size, double[] values) {
    if (values.length != size * size) {
      throw new IllegalArgumentException(
          "a covariance of "
              + size
              + " terms has "
              + size * size
              + " values, found "
              + values.length);
    }
    this.size = size;
    this.values = values.clone();
  }

  public static Covariance zero(int size) {
    return new Covariance(size, new double[size * size]);
  }

  public int size() {
    return size;
  }

  public double at(int i, int j) {
    return values[i * size + j];
  }

  /** gᵀ C g: the variance of a linear function of the coefficients with gradient g. */
  public double varianceOf(double[] g) {
    double sum = 0;
    int count = Math.min(g.length, size);
    for (int i = 0; i < count; i++) {
      double row = 0;
      for (int j = 0; j < count; j++) {
        row += values[i * size + j] * g[j];
      }
      sum += row * g[i];
    }
    return sum;
  }

  /** A copy, row-major. */
  public double[] values() {
    return values.clone();
  }
}
