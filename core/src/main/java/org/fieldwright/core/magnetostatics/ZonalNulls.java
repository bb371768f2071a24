package org.fieldwright.core.magnetostatics;

import java.util.Arrays;
import java.util.function.IntToDoubleFunction;
import org.fieldwright.core.geometry.GaussLegendre;

/**
 * Where along the bore a loop or a ring of iron makes nothing of one zonal order: the places that
 * coil and shim designs are built on.
 */
public final class ZonalNulls {
  private ZonalNulls() {}

  /**
   * Heights over radius, rising, at which an iron ring's term of order n vanishes: the zeros of
   * P_(n+2)(cos α). Only the half above the middle plane, and the plane itself where it is one.
   */
  public static double[] ofIronRing(int n) {
    GaussLegendre rule = GaussLegendre.of(n + 2);
    return heights(n + 2, rule::node);
  }

  /** The same for a current loop: the zeros of P'_(n+1)(cos α). */
  public static double[] ofLoop(int n) {
    GaussLegendre between = GaussLegendre.of(n + 1);
    // Between two neighbouring zeros of P_(n+1) lies one of its slope.
    return heights(n, i -> slopeZero(n + 1, between.node(i + 1), between.node(i)));
  }

  private static double[] heights(int count, IntToDoubleFunction cosine) {
    double[] heights = new double[(count + 1) / 2];
    for (int i = 0; i < heights.length; i++) {
      double u = cosine.applyAsDouble(i);
      heights[i] = u / Math.sqrt((1 - u) * (1 + u));
    }
    Arrays.sort(heights);
    if (count % 2 == 1) {
      heights[0] = 0; // by symmetry; the search leaves a rounding error there
    }
    return heights;
  }

  private static double slopeZero(int degree, double low, double high) {
    double a = low;
    double b = high;
    double atLow = legendreSlopes(degree, a)[degree];
    while (true) {
      double middle = (a + b) / 2;
      if (middle <= a || middle >= b) {
        return middle;
      }
      if (legendreSlopes(degree, middle)[degree] * atLow > 0) {
        a = middle;
      } else {
        b = middle;
      }
    }
  }

  /** P_0 … P_degree at u, Bonnet's recurrence. */
  static double[] legendre(int degree, double u) {
    double[] p = new double[degree + 1];
    p[0] = 1;
    for (int n = 1; n <= degree; n++) {
      p[n] = ((2.0 * n - 1) * u * p[n - 1] - (n > 1 ? (n - 1) * p[n - 2] : 0)) / n;
    }
    return p;
  }

  /** P'_0 … P'_degree at u, from P'_n = u P'_(n−1) + n P_(n−1). */
  static double[] legendreSlopes(int degree, double u) {
    double[] p = legendre(degree, u);
    double[] slope = new double[degree + 1];
    for (int n = 1; n <= degree; n++) {
      slope[n] = u * slope[n - 1] + n * p[n - 1];
    }
    return slope;
  }
}
