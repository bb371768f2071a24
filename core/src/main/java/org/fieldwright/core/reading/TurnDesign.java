package org.fieldwright.core.reading;

import java.util.Arrays;

/**
 * The design matrix of a turn, never written down: the row of a term at one setting is a probe's
 * column times cos mφ or sin mφ, so that normal matrices need only sums of cos jφ, sin jφ over the
 * settings and products of columns over the probes.
 */
final class TurnDesign {
  /** Of tables by order: cos jφ of a setting k stands at {@code cos[k · side + j]}. */
  final int side;

  /** The columns times what their terms are divided by, as {@link TurnColumns#value} has them. */
  final double[] scaled;

  double[] cos = new double[0];
  double[] sin = new double[0];
  private final TurnColumns columns;
  private final int first; // unknown that is a term
  private int degree;
  private int settings;

  /**
   * @param first how many unknowns stand before the terms
   */
  TurnDesign(TurnColumns columns, int first) {
    this.columns = columns;
    this.first = first;
    side = 2 * columns.degree + 1;
    scaled = new double[columns.value.length];
  }

  /**
   * Takes the settings as they are now.
   *
   * @param sigma standard deviation of a term in advance by degree, ppm
   */
  void set(TurnReadings r, TurnFaults faults, int degree, double[] sigma) {
    this.degree = degree;
    settings = r.settings();
    if (cos.length < settings * side) {
      cos = new double[2 * settings * side];
      sin = new double[2 * settings * side];
    }
    scaleColumns(sigma);
    turn(r, faults);
  }

  private void scaleColumns(double[] sigma) {
    for (int p = 0; p < columns.probes; p++) {
      for (int n = 0; n <= degree; n++) {
        for (int m = 0; m <= n; m++) {
          int i = p * columns.pairs + TurnColumns.pair(n, m);
          scaled[i] = columns.value[i] * sigma[n];
        }
      }
    }
  }

  private void turn(TurnReadings r, TurnFaults faults) {
    for (int k = 0; k < settings; k++) {
      double phi = Math.toRadians(r.angleDeg(k)) + faults.shift(k);
      for (int j = 0; j <= 2 * degree; j++) {
        cos[k * side + j] = Math.cos(j * phi);
        sin[k * side + j] = Math.sin(j * phi);
      }
    }
  }

  /** Where the cosine of a term stands; its sine is next. */
  int column(int n, int m) {
    return first + n * n + Math.max(0, 2 * m - 1);
  }

  /** Σ cos jφ, Σ sin jφ over the settings that a probe has a reading of; whether that is all. */
  boolean sums(TurnReadings r, TurnFaults faults, int p, double[] c, double[] s) {
    Arrays.fill(c, 0);
    Arrays.fill(s, 0);
    boolean whole = true;
    for (int k = 0; k < settings; k++) {
      if (!faults.keeps(r, k, p)) {
        whole = false;
      } else {
        addSetting(k, c, s);
      }
    }
    return whole;
  }

  /** The same of all settings. */
  void sumsOfTurn(double[] c, double[] s) {
    Arrays.fill(c, 0);
    Arrays.fill(s, 0);
    for (int k = 0; k < settings; k++) {
      addSetting(k, c, s);
    }
  }

  private void addSetting(int k, double[] c, double[] s) {
    for (int j = 0; j <= 2 * degree; j++) {
      c[j] += cos[k * side + j];
      s[j] += sin[k * side + j];
    }
  }

  /** Adds a probe's products of columns by two pairs, weighed by the variance of its readings. */
  void addProducts(double[] products, int p, double variance) {
    int from = p * columns.pairs;
    int count = TurnColumns.pair(degree, degree) + 1;
    for (int h = 0; h < count; h++) {
      double v = scaled[from + h] / variance;
      for (int g = h; g < count; g++) {
        products[h * columns.pairs + g] += v * scaled[from + g];
      }
    }
  }

  /**
   * Terms beside terms: products of columns times Σ cos mφ cos m'φ and the like.
   *
   * @param u normal matrix, its lower triangle by rows of {@code stride}
   */
  void addTerms(double[] u, int stride, double[] products, double[] c, double[] s) {
    for (int n = 0; n <= degree; n++) {
      for (int m = 0; m <= n; m++) {
        int i = column(n, m);
        int from = TurnColumns.pair(n, m) * columns.pairs;
        for (int l = n; l <= degree; l++) {
          for (int k = l == n ? m : 0; k <= l; k++) {
            double half = products[from + TurnColumns.pair(l, k)] / 2;
            int j = column(l, k);
            int apart = Math.abs(m - k);
            double sinApart = k >= m ? s[apart] : -s[apart]; // sin(k − m)
            int row = j * stride + i;
            u[row] += half * (c[apart] + c[m + k]);
            if (k > 0) {
              u[row + stride] += half * (s[m + k] + sinApart);
            }
            if (m > 0) {
              if (j > i) {
                u[row + 1] += half * (s[m + k] - sinApart);
              }
              if (k > 0) {
                u[row + stride + 1] += half * (c[apart] - c[m + k]);
              }
            }
          }
        }
      }
    }
  }

  /** Adds columns by pair, turned to a setting, as terms. */
  void addTurned(double[] out, int from, int k, double[] byPair, int at) {
    for (int n = 0; n <= degree; n++) {
      for (int m = 0; m <= n; m++) {
        double v = byPair[at + TurnColumns.pair(n, m)];
        int j = from + column(n, m);
        out[j] += v * cos[k * side + m];
        if (m > 0) {
          out[j + 1] += v * sin[k * side + m];
        }
      }
    }
  }

  /** The row of a reading's ∂B/∂φ; what does not turn is left as it is. */
  void slopeRow(int setting, int probe, double[] out) {
    for (int n = 1; n <= degree; n++) {
      for (int m = 1; m <= n; m++) {
        double v = m * scaled[probe * columns.pairs + TurnColumns.pair(n, m)];
        int j = column(n, m);
        out[j] = -v * sin[setting * side + m];
        out[j + 1] = v * cos[setting * side + m];
      }
    }
  }
}
