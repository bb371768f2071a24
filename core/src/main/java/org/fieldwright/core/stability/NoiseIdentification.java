package org.fieldwright.core.stability;

/**
 * Which power law a record follows at an averaging factor, from the lag-1 autocorrelation (W. J.
 * Riley and C. A. Greenhall, "Power law noise identification using the lag 1 autocorrelation", 18th
 * EFTF, 2004; SP 1065 section 5.5.6).
 *
 * <p>Averaged, freed of its parabola and differenced value by value as it is read: a long record is
 * not copied.
 */
final class NoiseIdentification {
  /** Points that must remain after averaging; with fewer the answer is a guess. */
  static final int FEWEST_POINTS = 30;

  private final double[] phase;
  private final int m;
  private final int points;
  private final double half;
  private final double second;
  private double level;
  private double slope;
  private double bend;

  private NoiseIdentification(double[] phase, int m) {
    this.phase = phase;
    this.m = m;
    points = (phase.length - 1) / m + 1;
    half = (points - 1) / 2.0;
    second = (points * (double) points - 1) / 12;
    fitParabola();
  }

  /**
   * The noise at averaging factor m.
   *
   * @param phase running sum of the record
   * @param differences most that may be taken: 2 for Allan kinds, 3 for Hadamard kinds
   */
  static NoiseType of(double[] phase, int m, int differences) {
    NoiseIdentification record = new NoiseIdentification(phase, m);
    for (int d = 0; ; d++) {
      double r = record.lagOne(d);
      double delta = r / (1 + r);
      if (delta < 0.25 || d >= differences) {
        return NoiseType.ofAlpha(2 - 2 * d - (int) Math.round(2 * delta));
      }
    }
  }

  /** Of the d-th differences. */
  private double lagOne(int d) {
    int length = points - d;
    double mean = 0;
    Differences first = new Differences(d);
    for (int i = 0; i < points; i++) {
      double z = first.next(value(i));
      mean += i < d ? 0 : z / length;
    }
    double product = 0;
    double square = 0;
    double before = 0;
    Differences again = new Differences(d);
    for (int i = 0; i < points; i++) {
      double z = again.next(value(i));
      if (i >= d) {
        double v = z - mean;
        square += v * v;
        product += before * v; // nothing comes before the first
        before = v;
      }
    }
    return square == 0 ? 0 : product / square;
  }

  /** Less the parabola. */
  private double value(int i) {
    double u = i - half;
    return phase[i * m] - (level + slope * u + bend * (u * u - second));
  }

  /** Differences of the values that come; the first so many that come out are none yet. */
  private static final class Differences {
    private final double[] before;

    Differences(int order) {
      before = new double[order];
    }

    double next(double value) {
      double difference = value;
      for (int k = 0; k < before.length; k++) {
        double latest = difference;
        difference -= before[k];
        before[k] = latest;
      }
      return difference;
    }
  }

  /** Least squares, by discrete orthogonal polynomials. */
  private void fitParabola() {
    double sum = 0;
    double first = 0;
    double curved = 0;
    double curvedNorm = 0;
    for (int i = 0; i < points; i++) {
      double z = phase[i * m];
      double u = i - half;
      double q = u * u - second;
      sum += z;
      first += u * z;
      curved += q * z;
      curvedNorm += q * q;
    }
    level = sum / points;
    slope = first / (points * second);
    bend = curved / curvedNorm;
  }
}
