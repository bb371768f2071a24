package org.fieldwright.core.stability;

/**
 * What modified total and Hadamard total have in common (SP 1065 sections 5.2.12 and 5.2.13; D. A.
 * Howe and C. A. Greenhall): each stretch of 3m values, less the slope between its halves, is
 * continued to 9m by reflection at both ends, and 6m second differences of m-averages are taken of
 * it.
 */
final class ReflectedSegments {

  private ReflectedSegments() {}

  /** Mean, over all stretches, of the mean square of those second differences. */
  static double meanSquare(double[] values, int m) {
    int length = 3 * m;
    double[] cumulative = new double[3 * length + 1];
    double sum = 0;
    int stretches = values.length - length + 1;
    for (int start = 0; start < stretches; start++) {
      reflect(values, start, length, cumulative);
      sum += squares(cumulative, m) / (6.0 * m);
    }
    return sum / stretches;
  }

  /** Fills the running sum of the reflected stretch. */
  private static void reflect(double[] values, int start, int length, double[] cumulative) {
    int half = length / 2;
    double low = 0;
    double high = 0;
    for (int i = 0; i < half; i++) {
      low += values[start + i];
      high += values[start + length - 1 - i];
    }
    double slope = (high - low) / half / (length - half);
    double origin = values[start];
    double sum = 0;
    for (int pass = 0; pass < 3; pass++) {
      for (int i = 0; i < length; i++) {
        int at = pass == 1 ? i : length - 1 - i;
        sum += values[start + at] - origin - slope * at;
        cumulative[pass * length + i + 1] = sum;
      }
    }
  }

  private static double squares(double[] cumulative, int m) {
    double sum = 0;
    for (int j = 0; j < 6 * m; j++) {
      double d =
          cumulative[j + 3 * m] - 3 * cumulative[j + 2 * m] + 3 * cumulative[j + m] - cumulative[j];
      sum += d * d;
    }
    return sum / m / m;
  }
}
