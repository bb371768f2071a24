package org.fieldwright.core.stability;

/**
 * Which power law a record follows at an averaging factor, from the lag-1 autocorrelation (W. J.
 * Riley and C. A. Greenhall, "Power law noise identification using the lag 1 autocorrelation", 18th
 * EFTF, 2004; SP 1065 section 5.5.6).
 */
final class NoiseIdentification {
  /** Points that must remain after averaging; with fewer the answer is a guess. */
  static final int FEWEST_POINTS = 30;

  private NoiseIdentification() {}

  /**
   * The noise at averaging factor m.
   *
   * @param phase running sum of the record
   * @param differences most that may be taken: 2 for Allan kinds, 3 for Hadamard kinds
   */
  static NoiseType of(double[] phase, int m, int differences) {
    double[] z = new double[(phase.length - 1) / m + 1];
    for (int i = 0; i < z.length; i++) {
      z[i] = phase[i * m];
    }
    removeParabola(z);
    int length = z.length;
    for (int d = 0; ; d++) {
      double r = lagOne(z, length);
      double delta = r / (1 + r);
      if (delta < 0.25 || d >= differences) {
        return NoiseType.ofAlpha(2 - 2 * d - (int) Math.round(2 * delta));
      }
      length--;
      for (int i = 0; i < length; i++) {
        z[i] = z[i + 1] - z[i];
      }
    }
  }

  private static double lagOne(double[] z, int length) {
    double mean = 0;
    for (int i = 0; i < length; i++) {
      mean += z[i] / length;
    }
    double product = 0;
    double square = 0;
    for (int i = 0; i < length; i++) {
      double v = z[i] - mean;
      square += v * v;
      product += i + 1 < length ? v * (z[i + 1] - mean) : 0;
    }
    return square == 0 ? 0 : product / square;
  }

  /** Takes off the least-squares parabola, by discrete orthogonal polynomials. */
  private static void removeParabola(double[] z) {
    int n = z.length;
    double half = (n - 1) / 2.0;
    double second = (n * (double) n - 1) / 12;
    double sum = 0;
    double first = 0;
    double curved = 0;
    double curvedNorm = 0;
    for (int i = 0; i < n; i++) {
      double u = i - half;
      double q = u * u - second;
      sum += z[i];
      first += u * z[i];
      curved += q * z[i];
      curvedNorm += q * q;
    }
    double level = sum / n;
    double slope = first / (n * second);
    double bend = curved / curvedNorm;
    for (int i = 0; i < n; i++) {
      double u = i - half;
      z[i] -= level + slope * u + bend * (u * u - second);
    }
  }
}
