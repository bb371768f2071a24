package org.fieldwright.core.reading;

import java.util.Arrays;

/**
 * What the readings of a turn that is not complete yet say of the field: the posterior of its
 * coefficients, one offset for each probe and a linear drift, all Gaussian in advance, beside an
 * error of each setting's angle.
 *
 * <p>The normal matrix is built anew for every angle, from the sums of {@link TurnDesign}. Unknowns
 * are divided by their standard deviation in advance, so that the matrix is I + something positive.
 * Order: offsets, drift, terms.
 */
final class TurnPosterior {
  /** Standard deviations in advance. */
  private static final double LEVEL_PPM = 1000;

  private static final double DRIFT_PPM_PER_HOUR = 5;

  /** Of an offset of which nothing is believed. */
  private static final double LOOSE_PPM = 1000;

  private final TurnColumns columns;
  private final int probes;
  private final int side; // of tables by order
  private final TurnDesign design;
  private final LowerFactor factor = new LowerFactor();
  private final double[] variance; // of a reading of each probe, ppm²
  private final double[] above; // the part of it that degrees above the working one have
  private final double[] cosPart; // of the field, by probe and order, ppm
  private final double[] sinPart;
  private final double[] sigma;
  private final double[] offsetSd; // of each probe in advance, ppm
  private final double[] offsetStated; // the same if it is believed
  private double[] slope = new double[0]; // ∂B/∂φ by setting and probe, ppm/rad
  private double[] residual = new double[0];
  private double[] angleColumns = new double[0]; // HᵀD⁻¹d by setting
  private double[] across = new double[0]; // the same by term
  private double[] lost = new double[0]; // ... times s
  private double[] angleWeight = new double[0]; // g = dᵀD⁻¹d
  private double[] angleLoss = new double[0]; // s: weights of a setting are D⁻¹ − s D⁻¹ddᵀD⁻¹
  private double[] state = new double[0];
  private double[] inverse = new double[0]; // its diagonal
  private final double[] summed; // by pair
  private final double[] together; // products of columns by two pairs
  private final double[] alone; // ... of one probe
  private final double[] cosSums;
  private final double[] sinSums;
  private final double[] squares;
  private final double[] known;
  private int degree;
  private int size;
  private int stride; // of a row of the matrix
  private int settings;

  TurnPosterior(TurnColumns columns) {
    this.columns = columns;
    this.probes = columns.probes;
    design = new TurnDesign(columns, probes + 1);
    side = design.side;
    variance = new double[probes];
    above = new double[probes];
    cosPart = new double[probes * side];
    sinPart = new double[probes * side];
    sigma = new double[columns.degree + 1];
    offsetSd = new double[probes];
    offsetStated = new double[probes];
    summed = new double[columns.pairs];
    together = new double[columns.pairs * columns.pairs];
    alone = new double[columns.pairs * columns.pairs];
    cosSums = new double[side];
    sinSums = new double[side];
    squares = new double[columns.degree + 1];
    known = new double[columns.degree + 1];
  }

  /**
   * Standard uncertainties that hold for every reading.
   *
   * @param readingPpm scatter
   * @param position of a probe, m
   * @param angle of a setting, rad
   * @param offsetPpm of a probe
   */
  record Noise(double readingPpm, double position, double angle, double offsetPpm) {}

  /**
   * Takes all readings anew.
   *
   * @param richer factor on the variances in advance of all terms
   * @param like where the slopes and the noise are taken from; this one itself = from the field it
   *     held before
   */
  void update(
      TurnReadings r,
      TurnFaults faults,
      FieldSpectrum spectrum,
      Noise noise,
      double richer,
      TurnPosterior like) {
    settings = r.settings();
    degree = richer > 1 ? columns.degree : spectrum.working(noise.readingPpm());
    size = probes + 1 + (degree + 1) * (degree + 1);
    stride = LowerFactor.stride(size);
    makeRoom();
    for (int n = 0; n <= degree; n++) {
      sigma[n] = n == 0 ? LEVEL_PPM : Math.sqrt(richer * spectrum.variance(n));
    }
    design.set(r, faults, degree, sigma);
    if (like == this) {
      setNoise(spectrum, noise, faults);
      setSlopes();
    } else {
      for (int p = 0; p < probes; p++) {
        variance[p] = like.variance[p] + (richer - 1) * like.above[p];
      }
      System.arraycopy(like.offsetSd, 0, offsetSd, 0, probes);
      System.arraycopy(like.offsetStated, 0, offsetStated, 0, probes);
      System.arraycopy(like.slope, 0, slope, 0, settings * probes);
    }
    double[] u = factor.clear(size);
    Arrays.fill(state, 0, stride, 0);
    addReadings(u, r, faults);
    addAngles(r, faults, noise.angle());
    for (int i = 0; i < size; i++) {
      u[i * stride + i] += 1;
    }
    factor.factorise();
    factor.forward(state);
    factor.backward(state);
    unpack();
    for (int i = 0; i < settings * probes; i++) {
      residual[i] = residualOf(r, i / probes, i % probes);
    }
  }

  private void makeRoom() {
    if (slope.length < settings * probes) {
      slope = new double[2 * settings * probes];
      residual = new double[2 * settings * probes];
      angleWeight = new double[2 * settings];
      angleLoss = new double[2 * settings];
    }
    if (state.length < stride) {
      state = new double[stride];
      inverse = new double[stride];
    }
    if (angleColumns.length < settings * stride) {
      angleColumns = new double[2 * settings * stride];
    }
    if (across.length < stride * stride) {
      across = new double[stride * stride];
      lost = new double[stride * stride];
    }
  }

  // What a reading is worth --------------------------------------------------------------------

  private void setNoise(FieldSpectrum spectrum, Noise noise, TurnFaults faults) {
    for (int p = 0; p < probes; p++) {
      double shown = columns.radius[p] / columns.reference;
      double misplaced = noise.position() * noise.position() * meanSquareSlope(p, spectrum);
      above[p] = spectrum.above(degree, shown);
      variance[p] = noise.readingPpm() * noise.readingPpm() + misplaced + above[p];
      offsetStated[p] = Math.sqrt(noise.offsetPpm() * noise.offsetPpm() + misplaced);
      offsetSd[p] = faults.loosens(p) ? LOOSE_PPM : offsetStated[p];
    }
  }

  /** Mean square of the field's gradient around the turn, ppm²/m²; of the field held before. */
  private double meanSquareSlope(int p, FieldSpectrum spectrum) {
    double sum = 0;
    double along = 1 / columns.fromAxis[p];
    for (int m = 1; m <= columns.degree; m++) {
      int i = p * side + m;
      sum += along * along * m * m * (cosPart[i] * cosPart[i] + sinPart[i] * sinPart[i]) / 2;
    }
    // In the two other directions as it is on average over the sphere: n(n+1) and n² of σ²/r².
    for (int n = 1; n <= columns.degree; n++) {
      sum +=
          spectrum.variance(n)
              * n
              * (1.5 * n + 0.5)
              / (columns.radius[p] * columns.radius[p] + 1e-12);
    }
    return sum;
  }

  private void setSlopes() {
    double[] cos = design.cos;
    double[] sin = design.sin;
    for (int k = 0; k < settings; k++) {
      for (int p = 0; p < probes; p++) {
        double d = 0;
        for (int m = 1; m <= columns.degree; m++) {
          int i = p * side + m;
          int t = k * side + m;
          d += m * (sinPart[i] * cos[t] - cosPart[i] * sin[t]);
        }
        slope[k * probes + p] = d;
      }
    }
  }

  // The normal matrix --------------------------------------------------------------------------

  private void addReadings(double[] u, TurnReadings r, TurnFaults faults) {
    double[] c = cosSums;
    double[] s = sinSums;
    Arrays.fill(together, 0);
    boolean any = false;
    for (int p = 0; p < probes; p++) {
      boolean whole = design.sums(r, faults, p, c, s);
      addRow(u, r, faults, p, c, s);
      if (whole) {
        any = true;
        design.addProducts(together, p, variance[p]);
      } else {
        Arrays.fill(alone, 0);
        design.addProducts(alone, p, variance[p]);
        design.addTerms(u, stride, alone, c, s);
      }
    }
    if (any) {
      design.sumsOfTurn(c, s);
      design.addTerms(u, stride, together, c, s);
    }
  }

  /** What one probe's readings say of its offset, of the drift, and of both beside the terms. */
  private void addRow(
      double[] u, TurnReadings r, TurnFaults faults, int p, double[] c, double[] s) {
    double[] cos = design.cos;
    double[] sin = design.sin;
    double w = 1 / variance[p];
    double t = 0;
    double tt = 0;
    double y = 0;
    double ty = 0;
    double[] yc = new double[degree + 1];
    double[] ys = new double[degree + 1];
    double[] tc = new double[degree + 1];
    double[] ts = new double[degree + 1];
    for (int k = 0; k < settings; k++) {
      if (faults.keeps(r, k, p)) {
        double value = r.ppm(k, p);
        double time = DRIFT_PPM_PER_HOUR * r.hours(k, p);
        t += time;
        tt += time * time;
        y += value;
        ty += time * value;
        for (int m = 0; m <= degree; m++) {
          double cm = cos[k * side + m];
          double sm = sin[k * side + m];
          yc[m] += value * cm;
          ys[m] += value * sm;
          tc[m] += time * cm;
          ts[m] += time * sm;
        }
      }
    }
    int driftRow = probes * stride;
    u[p * stride + p] += w * offsetSd[p] * offsetSd[p] * c[0];
    u[driftRow + p] += w * offsetSd[p] * t;
    u[driftRow + probes] += w * tt;
    state[p] += w * offsetSd[p] * y;
    state[probes] += w * ty;
    for (int n = 0; n <= degree; n++) {
      for (int m = 0; m <= n; m++) {
        double v = w * design.scaled[p * columns.pairs + TurnColumns.pair(n, m)];
        int j = design.column(n, m);
        u[j * stride + p] += offsetSd[p] * v * c[m];
        u[j * stride + probes] += v * tc[m];
        state[j] += v * yc[m];
        if (m > 0) {
          u[(j + 1) * stride + p] += offsetSd[p] * v * s[m];
          u[(j + 1) * stride + probes] += v * ts[m];
          state[j + 1] += v * ys[m];
        }
      }
    }
  }

  /** What is not known of the angles: D⁻¹ becomes D⁻¹ − s D⁻¹ddᵀD⁻¹. */
  private void addAngles(TurnReadings r, TurnFaults faults, double angle) {
    for (int k = 0; k < settings; k++) {
      double g = 0;
      double along = 0;
      int row = k * stride;
      Arrays.fill(angleColumns, row, row + stride, 0);
      Arrays.fill(summed, 0);
      for (int p = 0; p < probes; p++) {
        if (faults.keeps(r, k, p)) {
          double w = slope[k * probes + p] / variance[p];
          g += w * slope[k * probes + p];
          along += w * r.ppm(k, p);
          angleColumns[row + p] += w * offsetSd[p];
          angleColumns[row + probes] += w * DRIFT_PPM_PER_HOUR * r.hours(k, p);
          int from = p * columns.pairs;
          for (int h = 0; h < summed.length; h++) {
            summed[h] += w * design.scaled[from + h];
          }
        }
      }
      design.addTurned(angleColumns, row, k, summed, 0);
      angleWeight[k] = g;
      double square = angle * angle;
      angleLoss[k] = faults.frees(k) ? (g > 0 ? 1 / g : 0) : square / (1 + square * g);
      for (int i = 0; i < size; i++) {
        state[i] -= angleLoss[k] * along * angleColumns[row + i];
      }
    }
    for (int from = 0; from < settings; from += stride) {
      int count = Math.min(stride, settings - from);
      for (int i = 0; i < stride; i++) {
        for (int k = 0; k < count; k++) {
          double v = angleColumns[(from + k) * stride + i];
          across[i * stride + k] = v;
          lost[i * stride + k] = angleLoss[from + k] * v;
        }
      }
      factor.subtract(across, lost, count);
    }
  }

  // What was found -----------------------------------------------------------------------------

  private void unpack() {
    Arrays.fill(cosPart, 0);
    Arrays.fill(sinPart, 0);
    for (int p = 0; p < probes; p++) {
      for (int n = 0; n <= degree; n++) {
        for (int m = 0; m <= n; m++) {
          double v = design.scaled[p * columns.pairs + TurnColumns.pair(n, m)];
          int j = design.column(n, m);
          cosPart[p * side + m] += v * state[j];
          if (m > 0) {
            sinPart[p * side + m] += v * state[j + 1];
          }
        }
      }
    }
  }

  private double residualOf(TurnReadings r, int k, int p) {
    double value = offsetSd[p] * state[p] + DRIFT_PPM_PER_HOUR * state[probes] * r.hours(k, p);
    for (int m = 0; m <= degree; m++) {
      value +=
          cosPart[p * side + m] * design.cos[k * side + m]
              + sinPart[p * side + m] * design.sin[k * side + m];
    }
    return r.ppm(k, p) - value;
  }

  int size() {
    return size;
  }

  /** Length of what {@link #whiten} takes. */
  int stride() {
    return stride;
  }

  /** Reading less what is expected there, ppm; also of a reading that is left out. */
  double residual(int setting, int probe) {
    return residual[setting * probes + probe];
  }

  /** Variance of a reading of a probe about the truth, ppm². */
  double variance(int probe) {
    return variance[probe];
  }

  /** ∂B/∂φ, ppm/rad. */
  double slope(int setting, int probe) {
    return slope[setting * probes + probe];
  }

  /** g = dᵀD⁻¹d: the information in a setting's own readings on its angle, 1/rad². */
  double angleWeight(int setting) {
    return angleWeight[setting];
  }

  /** s: the weights of a setting are D⁻¹ − s D⁻¹ddᵀD⁻¹. */
  double angleLoss(int setting) {
    return angleLoss[setting];
  }

  /** HᵀD⁻¹d of a setting. */
  void angleColumn(int setting, double[] out) {
    System.arraycopy(angleColumns, setting * stride, out, 0, stride);
  }

  /** A reading's row of the design. */
  void row(TurnReadings r, int setting, int probe, double[] out) {
    Arrays.fill(out, 0, stride, 0);
    out[probe] = offsetSd[probe];
    out[probes] = DRIFT_PPM_PER_HOUR * r.hours(setting, probe);
    design.addTurned(out, 0, setting, design.scaled, probe * columns.pairs);
  }

  /** The row of a reading's ∂B/∂φ. */
  void slopeRow(int setting, int probe, double[] out) {
    Arrays.fill(out, 0, stride, 0);
    design.slopeRow(setting, probe, out);
  }

  /** Replaces v by what its square is the variance of: vᵀPv = z². */
  void whiten(double[] v) {
    factor.forward(v);
  }

  /**
   * A probe's offset as its readings have it, nothing being believed of it in advance.
   *
   * @param out offset and its variance, ppm and ppm²
   * @return whether they say anything
   */
  boolean offset(int probe, double[] out, double[] scratch) {
    double left = unit(probe, scratch); // of the variance in advance
    out[0] = offsetSd[probe] * state[probe] / (1 - left);
    out[1] = offsetSd[probe] * offsetSd[probe] * left / (1 - left);
    return left < 0.98;
  }

  /** Standard uncertainty of a probe's offset as stated, its misplacement included, ppm. */
  double offsetStated(int probe) {
    return offsetStated[probe];
  }

  /** ppm per hour. */
  double drift() {
    return DRIFT_PPM_PER_HOUR * state[probes];
  }

  double driftUncertainty(double[] scratch) {
    return DRIFT_PPM_PER_HOUR * Math.sqrt(unit(probes, scratch));
  }

  /** An element of the diagonal of the posterior covariance of the unknowns as they are divided. */
  private double unit(int i, double[] scratch) {
    Arrays.fill(scratch, 0, stride, 0);
    scratch[i] = 1;
    factor.forward(scratch);
    return square(scratch);
  }

  /** Whether a probe's offset could stand out at all. */
  boolean offsetStirs(int probe) {
    return Math.abs(state[probe]) > 1;
  }

  double square(double[] v) {
    double sum = 0;
    for (int i = 0; i < size; i++) {
      sum += v[i] * v[i];
    }
    return sum;
  }

  /** Weighted square of the residuals of a setting. */
  double misfit(TurnReadings r, TurnFaults faults, int k) {
    double sum = 0;
    double along = 0;
    for (int p = 0; p < probes; p++) {
      if (faults.keeps(r, k, p)) {
        double e = residual[k * probes + p];
        sum += e * e / variance[p];
        along += slope[k * probes + p] * e / variance[p];
      }
    }
    return sum - angleLoss[k] * along * along;
  }

  /** Σx² of each degree's terms, ppm², when it was last studied. */
  double[] squares() {
    return squares;
  }

  /** How many terms of each degree are determined. */
  double[] known() {
    return known;
  }

  /** Forms what a spectrum learns from; it takes as long as the factor. */
  void study() {
    factor.inverseDiagonal(inverse);
    Arrays.fill(squares, 0);
    Arrays.fill(known, 0);
    for (int n = 1; n <= degree; n++) {
      for (int j = design.column(n, 0); j < design.column(n + 1, 0); j++) {
        squares[n] += sigma[n] * sigma[n] * state[j] * state[j];
        known[n] += 1 - inverse[j];
      }
    }
  }
}
