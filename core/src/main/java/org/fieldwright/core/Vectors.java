package org.fieldwright.core;

/** Sums over plain arrays of equal length, for inner loops. */
public final class Vectors {
  private Vectors() {}

  /** Σ a b. */
  public static double dot(double[] a, double[] b) {
    double sum = 0;
    for (int i = 0; i < a.length; i++) {
      sum += a[i] * b[i];
    }
    return sum;
  }

  /** Adds a multiple of another in place. */
  public static void add(double[] to, double factor, double[] v) {
    if (factor != 0) {
      for (int i = 0; i < v.length; i++) {
        to[i] += factor * v[i];
      }
    }
  }
}
