package org.fieldwright.core.stability;

/**
 * Equivalent degrees of freedom of a deviation: what a χ² with the same relative scatter would
 * have.
 *
 * <p>Allan, modified, time and Hadamard kinds: C. A. Greenhall and W. J. Riley, "Uncertainty of
 * stability variances based on finite differences" (35th PTTI, 2003), as SP 1065 section 5.4.1
 * states it, with their filter factor taken as infinite for unmodified kinds and α ≤ 0; within a
 * few percent of exact. Total kinds: SP 1065 tables 7 and 8 and section 5.2.13. Where those tables
 * name no entry for a phase noise, the overlapping kind without reflection stands in; it has fewer
 * degrees of freedom, so the interval is on the wide side.
 */
final class DegreesOfFreedom {
  /** Terms of a sum that are added one by one before the asymptotic form takes over. */
  private static final int LONGEST_SUM = 100;

  /** Modified variances: rows α = 2 … −4, columns d = 2, 3; pairs a0, a1. NaN where infinite. */
  private static final double[][][] MODIFIED = {
    {{7.0 / 9, 0.5}, {22.0 / 25, 2.0 / 3}},
    {{0.997, 0.616}, {1.141, 0.843}},
    {{1.033, 0.607}, {1.184, 0.848}},
    {{1.048, 0.534}, {1.180, 0.816}},
    {{1.302, 0.535}, {1.175, 0.777}},
    {{Double.NaN, Double.NaN}, {1.194, 0.703}},
    {{Double.NaN, Double.NaN}, {1.489, 0.702}}
  };

  /** Unmodified variances, the same way. */
  private static final double[][][] PLAIN = {
    {{35.0 / 18, 1}, {231.0 / 100, 1.5}},
    {{790, 410}, {9950, 6520}},
    {{2.0 / 3, 1.0 / 3}, {7.0 / 9, 0.5}},
    {{0.852, 0.375}, {0.997, 0.617}},
    {{1.079, 0.368}, {1.033, 0.607}},
    {{Double.NaN, Double.NaN}, {1.053, 0.553}},
    {{Double.NaN, Double.NaN}, {1.302, 0.535}}
  };

  /** Flicker phase noise, unmodified: b0, b1 for d = 2, 3. */
  private static final double[][] FLICKER_PHASE_SCALE = {{15.23, 12}, {47.8, 40}};

  /** Total: b, c of b·T/τ − c for α = 0, −1, −2. */
  private static final double[][] TOTAL = {{1.50, 0}, {1.17, 0.22}, {0.93, 0.36}};

  /** Modified total: b, c for α = 2 … −2. */
  private static final double[][] MODIFIED_TOTAL = {
    {1.90, 2.10}, {1.20, 1.40}, {1.10, 1.20}, {0.85, 0.50}, {0.75, 0.31}
  };

  /** Hadamard total: b0, b1 of (T/τ)/(b0 + b1 τ/T) for α = 0 … −4. */
  private static final double[][] HADAMARD_TOTAL = {
    {0.559, 1.004}, {0.868, 1.140}, {0.938, 1.696}, {0.974, 2.554}, {1.276, 3.149}
  };

  private DegreesOfFreedom() {}

  /**
   * Of a deviation.
   *
   * @param values number of values in the record
   * @param m averaging factor
   */
  static double of(DeviationKind kind, NoiseType noise, int values, int m) {
    int alpha = Math.max(noise.alpha(), kind.differences() == 2 ? -2 : -4);
    double ratio = (double) values / m;
    double edf =
        switch (kind) {
          case ALLAN, HADAMARD -> differences(kind, alpha, values + 1, m, 1, false);
          case OVERLAPPING_ALLAN, OVERLAPPING_HADAMARD ->
              differences(kind, alpha, values + 1, m, m, false);
          case MODIFIED_ALLAN, TIME -> differences(kind, alpha, values + 1, m, m, true);
          case TOTAL ->
              alpha > 0
                  ? differences(DeviationKind.OVERLAPPING_ALLAN, alpha, values + 1, m, m, false)
                  : TOTAL[-alpha][0] * ratio - TOTAL[-alpha][1];
          case MODIFIED_TOTAL, TIME_TOTAL ->
              MODIFIED_TOTAL[2 - alpha][0] * ratio - MODIFIED_TOTAL[2 - alpha][1];
          case HADAMARD_TOTAL ->
              alpha > 0 || m == 1
                  ? differences(DeviationKind.OVERLAPPING_HADAMARD, alpha, values + 1, m, m, false)
                  : ratio / (HADAMARD_TOTAL[-alpha][0] + HADAMARD_TOTAL[-alpha][1] / ratio);
        };
    return Math.max(1, edf);
  }

  /**
   * Greenhall and Riley's four cases.
   *
   * @param points of the phase record
   * @param stride estimates in one averaging time: 1 apart, m overlapping
   */
  private static double differences(
      DeviationKind kind, int alpha, int points, int m, int stride, boolean modified) {
    int d = kind.differences();
    double filter = modified ? 1 : m;
    double span = m / filter + m * (double) d;
    double count = 1 + Math.floor(stride * (points - span) / m);
    double periods = count / stride;
    double terms = Math.min(count, (d + 1.0) * stride);
    if (!modified && alpha == 2) {
      return whitePhase(d, count, periods);
    }
    // The values are means over their interval: their sum is the phase itself, not smoothed
    // further.
    double used = !modified && alpha <= 0 ? Double.POSITIVE_INFINITY : filter;
    if (terms <= LONGEST_SUM) {
      return inverse(sum(terms, count, stride, used, alpha, d), used, alpha, d, count);
    }
    boolean flickerPhase = !modified && alpha == 1;
    double[] scale = FLICKER_PHASE_SCALE[d - 2];
    double flickerScale = flickerPhase ? scale[0] + scale[1] * Math.log(m) : 1;
    if (periods > d + 1) {
      double[] a = (modified ? MODIFIED : PLAIN)[2 - alpha][d - 2];
      return flickerScale * flickerScale * periods / (a[0] - a[1] / periods);
    }
    double coarse = LONGEST_SUM / periods;
    if (flickerPhase) {
      double s = sum(LONGEST_SUM, LONGEST_SUM, coarse, coarse, alpha, d);
      return flickerScale * flickerScale * LONGEST_SUM / s;
    }
    double s = sum(LONGEST_SUM, LONGEST_SUM, coarse, used, alpha, d);
    return inverse(s, used, alpha, d, LONGEST_SUM);
  }

  private static double inverse(double sum, double filter, int alpha, int d, double count) {
    double atZero = structure(0, filter, alpha, d);
    return atZero * atZero * count / sum;
  }

  private static double whitePhase(int d, double count, double periods) {
    double central = binomial(2 * d, d);
    int k = (int) Math.ceil(periods);
    if (k > d) {
      double a0 = binomial(4 * d, 2 * d) / central / central;
      return count / (a0 - d / 2.0 / periods);
    }
    double sum = 0;
    for (int j = 1; j < k; j++) {
      double b = binomial(2 * d, d - j) / central;
      sum += (1 - j / periods) * b * b;
    }
    return count / (1 + 2 * sum);
  }

  private static double binomial(int n, int k) {
    double value = 1;
    for (int i = 1; i <= k; i++) {
      value = value * (n - k + i) / i;
    }
    return value;
  }

  private static double sum(
      double terms, double count, double stride, double filter, int alpha, int d) {
    double first = structure(0, filter, alpha, d);
    double last = structure(terms / stride, filter, alpha, d);
    double sum = first * first + (1 - terms / count) * last * last;
    for (int j = 1; j < (int) terms; j++) {
      double s = structure(j / stride, filter, alpha, d);
      sum += 2 * (1 - j / count) * s * s;
    }
    return sum;
  }

  /** Covariance of differences of order d, t averaging times apart, up to a factor. */
  private static double structure(double t, double filter, int alpha, int d) {
    double sum = 0;
    for (int k = -d; k <= d; k++) {
      double weight = binomial(2 * d, d + k);
      sum += (k % 2 == 0 ? weight : -weight) * filtered(t + k, filter, alpha);
    }
    return sum;
  }

  private static double filtered(double t, double filter, int alpha) {
    if (Double.isInfinite(filter)) {
      return kernel(t, alpha + 2);
    }
    double h = 1 / filter;
    return filter * filter * (2 * kernel(t, alpha) - kernel(t - h, alpha) - kernel(t + h, alpha));
  }

  private static double kernel(double t, int alpha) {
    double a = Math.abs(t);
    if (a == 0) {
      return 0;
    }
    return switch (alpha) {
      case 2 -> -a;
      case 1 -> a * a * Math.log(a);
      case 0 -> a * a * a;
      case -1 -> -Math.pow(a, 4) * Math.log(a);
      case -2 -> -Math.pow(a, 5);
      case -3 -> Math.pow(a, 6) * Math.log(a);
      case -4 -> Math.pow(a, 7);
      default -> throw new IllegalArgumentException("no noise of α = " + alpha);
    };
  }
}
