package org.fieldwright.core.reading;

/**
 * How large the coefficients of each degree may be, before and while a survey tells: their standard
 * deviation σ<sub>n</sub>, the same for every order.
 *
 * <p>Each update is MacKay's fixed point for a Gaussian prior, σ² = Σx²/γ, γ being the number of
 * coefficients of the degree that the readings determine (MacKay 1992). A straight line of ln σ²
 * over the degree joins them, weighted by what is known of each, so that degrees of which nothing
 * is known follow those of which something is; and each is widened by what is not known of it.
 */
final class FieldSpectrum {
  private static final double FIRST_RATIO = 0.6;
  private static final double LEAST_RATIO = 0.1;
  private static final double MOST_RATIO = 0.9;

  /** Information that the slope of the line has in advance, in units of ln σ² per degree. */
  private static final double SLOPE_INFORMATION = 2;

  /** How far a degree of which nothing is known may lie above the line, in variance. */
  private static final double WIDER = 3;

  /** Less than this part of the reading noise is not followed. */
  private static final double LEAST = 0.03;

  private final int degree;
  private final double[] lnVariance;
  private final double[] variance;
  private double tail; // slope beyond the highest degree

  FieldSpectrum(int degree) {
    this.degree = degree;
    this.lnVariance = new double[degree + 1];
    this.variance = new double[degree + 1];
  }

  /**
   * Begins from nothing but how much the first readings differ.
   *
   * @param rmsPpm of them about their mean
   */
  void begin(double rmsPpm) {
    tail = 2 * Math.log(FIRST_RATIO);
    for (int n = 0; n <= degree; n++) {
      lnVariance[n] = 2 * Math.log(2 * rmsPpm) + tail * (n - 1);
      variance[n] = Math.exp(lnVariance[n]);
    }
  }

  double variance(int n) {
    return variance[n];
  }

  /** Sum of the variances above a degree, at r/R0 ≤ 1. */
  double above(int n, double relativeRadius) {
    double square = relativeRadius * relativeRadius;
    double power = Math.pow(square, n);
    double sum = 0;
    for (int k = n + 1; k <= degree; k++) {
      power *= square;
      sum += variance(k) * power;
    }
    // Beyond the highest degree a geometric series.
    double ratio = square * Math.exp(tail);
    return sum + variance(degree) * Math.pow(square, degree) * ratio / (1 - ratio);
  }

  /** The least degree above which nothing is left that the readings would show. */
  int working(double noisePpm) {
    int n = 4;
    while (n < degree && above(n, 1) > 0.05 * noisePpm * noisePpm) {
      n++;
    }
    return n;
  }

  /**
   * Learns.
   *
   * @param squares sum of the squares of each degree's coefficients
   * @param known how many of them are determined
   * @param noisePpm of a reading
   */
  void update(double[] squares, double[] known, double noisePpm) {
    double least = 2 * Math.log(LEAST * noisePpm);
    double[] own = new double[degree + 1];
    double weights = 0;
    double meanN = 0;
    double mean = 0;
    for (int n = 1; n <= degree; n++) {
      own[n] = Math.max(least, Math.log((squares[n] + 1e-12) / (known[n] + 1e-9)));
      double w = weight(known[n]);
      weights += w;
      meanN += w * n;
      mean += w * own[n];
    }
    if (weights < 1e-3) {
      return;
    }
    meanN /= weights;
    mean /= weights;
    double cross = SLOPE_INFORMATION * 2 * Math.log(FIRST_RATIO);
    double square = SLOPE_INFORMATION;
    for (int n = 1; n <= degree; n++) {
      double w = weight(known[n]);
      cross += w * (n - meanN) * (own[n] - mean);
      square += w * (n - meanN) * (n - meanN);
    }
    double slope =
        Math.min(2 * Math.log(MOST_RATIO), Math.max(2 * Math.log(LEAST_RATIO), cross / square));
    for (int n = 1; n <= degree; n++) {
      double line = mean + slope * (n - meanN);
      double w = weight(known[n]);
      double here = line + w / (w + 1) * (own[n] - line);
      lnVariance[n] = Math.max(least, here + Math.log(1 + WIDER / (1 + known[n])));
      variance[n] = Math.exp(lnVariance[n]);
    }
    int middle = degree / 2;
    tail =
        Math.min(
            2 * Math.log(MOST_RATIO),
            Math.max(slope, (lnVariance[degree] - lnVariance[middle]) / (degree - middle)));
  }

  /** Information on ln σ² in the squares of so many coefficients. */
  private static double weight(double known) {
    return known / 2;
  }
}
