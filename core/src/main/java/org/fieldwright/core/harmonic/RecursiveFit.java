package org.fieldwright.core.harmonic;

import java.util.Arrays;

/**
 * Least squares with a prior that takes rows as they come: estimates, residuals and leverages are
 * up to date after every block, at a cost that depends on the block and not on how often it
 * happens.
 *
 * <p>With noise of variance one, prior covariance V and rows X, the covariance of the unknowns is C
 * = (V⁻¹ + XᵀX)⁻¹. A block X_b changes it by −Tᵀ T with T = L⁻¹ X_b C, L Lᵀ = I + X_b C X_bᵀ (the
 * measurement update of Kalman 1960, in the form of Kailath, Sayed &amp; Hassibi 2000, §9.2); a
 * row's residual and leverage change by its product with T. Leaving a row out, freeing a pattern
 * shared by rows and binding it again are changes of rank one.
 *
 * <p>Several sets of values can share the rows, so that a drift enters as residual(values) − slope
 * × residual(clock). Accuracy: rounding is multiplied by the largest prior variance times leverage;
 * at variances of 1e10 the residuals of a whole survey agree with a fresh factorisation to 1e-5 of
 * the noise. Not thread-safe.
 */
public final class RecursiveFit {
  private final int terms;
  private final int sets;
  private int unknowns; // terms, then freed patterns
  private int rows;
  private double[][] covariance;
  private final double[][] estimate; // [set][unknown]
  private double[][] design; // [unknown][row]
  private final double[][] values; // [set][row]
  private final double[][] error; // [set][row]: value − prediction by the estimate
  private double[] leverage; // x C xᵀ, whether the row is in or left out
  private boolean[] leftOut;

  /**
   * @param priorVariance of each unknown about zero, in units of the noise variance
   * @param sets how many sets of values share the rows
   */
  public RecursiveFit(double[] priorVariance, int sets) {
    terms = priorVariance.length;
    this.sets = sets;
    unknowns = terms;
    int room = 64;
    covariance = new double[terms][terms];
    for (int k = 0; k < terms; k++) {
      covariance[k][k] = priorVariance[k];
    }
    estimate = new double[sets][terms];
    design = new double[terms][room];
    values = new double[sets][room];
    error = new double[sets][room];
    leverage = new double[room];
    leftOut = new boolean[room];
  }

  public int rows() {
    return rows;
  }

  /**
   * Takes rows in.
   *
   * @param x effect of each term on each row, then of each pattern freed, [row][unknown]; patterns
   *     left away do not touch the rows
   * @param y [set][row]
   */
  public void add(double[][] x, double[][] y) {
    int first = rows;
    ensureRoom(first + x.length);
    rows += x.length;
    for (int b = 0; b < x.length; b++) {
      for (int k = 0; k < x[b].length; k++) {
        design[k][first + b] = x[b][k];
      }
    }
    double[][] projected = new double[x.length][]; // X_b C
    for (int b = 0; b < x.length; b++) {
      double[] row = Arrays.copyOf(x[b], unknowns);
      projected[b] = timesCovariance(row);
      leverage[first + b] = Combinations.dot(row, projected[b], unknowns);
      for (int s = 0; s < sets; s++) {
        values[s][first + b] = y[s][b];
        error[s][first + b] = y[s][b] - Combinations.dot(row, estimate[s], unknowns);
      }
    }
    absorb(projected, first, x.length);
  }

  private void absorb(double[][] projected, int first, int block) {
    double[][] lower = new double[block][block];
    for (int i = 0; i < block; i++) {
      double diagonal = 1;
      for (int j = 0; j <= i; j++) { // T's rows are done up to i, and x_i·T_j is the factor
        double s = 0;
        for (int k = 0; k < unknowns; k++) {
          s += design[k][first + i] * projected[j][k];
        }
        lower[i][j] = s;
        diagonal += i == j ? s : -s * s;
      }
      lower[i][i] = Math.sqrt(diagonal);
      for (int k = 0; k < i; k++) {
        Combinations.addTimes(projected[i], -lower[i][k], projected[k], unknowns);
      }
      Combinations.scale(projected[i], 1 / lower[i][i]);
    }
    for (int k = 0; k < unknowns; k++) {
      double[] factor = new double[block];
      for (int b = 0; b < block; b++) {
        factor[b] = -projected[b][k];
      }
      Combinations.addCombination(covariance[k], factor, projected, block, unknowns);
    }
    double[][] whitened = new double[sets][block];
    for (int s = 0; s < sets; s++) {
      for (int b = 0; b < block; b++) {
        double w = error[s][first + b];
        for (int k = 0; k < b; k++) {
          w -= lower[b][k] * whitened[s][k];
        }
        whitened[s][b] = w / lower[b][b];
        Combinations.addTimes(estimate[s], whitened[s][b], projected[b], unknowns);
      }
    }
    spread(projected, whitened);
  }

  /** Carries an update of the unknowns to every row's error and leverage. */
  private void spread(double[][] directions, double[][] steps) {
    double[] effect = new double[rows];
    for (int b = 0; b < directions.length; b++) {
      Arrays.fill(effect, 0);
      Combinations.addCombination(effect, directions[b], design, unknowns, rows);
      for (int i = 0; i < rows; i++) {
        leverage[i] -= effect[i] * effect[i];
      }
      for (int s = 0; s < sets; s++) {
        Combinations.addTimes(error[s], -steps[s][b], effect, rows);
      }
    }
  }

  /** Leaves a row out of the estimate, or takes it back. */
  public void setLeftOut(int row, boolean out) {
    if (leftOut[row] == out) {
      return;
    }
    leftOut[row] = out;
    double sign = out ? 1 : -1;
    double spare = 1 - sign * leverage[row];
    double[] step = new double[sets];
    for (int s = 0; s < sets; s++) {
      step[s] = -sign * error[s][row] / spare;
    }
    rankOne(timesCovariance(rowOf(row)), sign / spare, step);
  }

  /** C += factor·u uᵀ, estimates += step·u, and what follows from it. */
  private void rankOne(double[] u, double factor, double[] step) {
    for (int k = 0; k < unknowns; k++) {
      Combinations.addTimes(covariance[k], factor * u[k], u, unknowns);
    }
    double[] effect = move(u, step);
    for (int i = 0; i < rows; i++) {
      leverage[i] += factor * effect[i] * effect[i];
    }
  }

  /** Estimates += step·u; returns the effect of u on the rows. */
  private double[] move(double[] u, double[] step) {
    double[] effect = predicted(u);
    for (int s = 0; s < sets; s++) {
      Combinations.addTimes(estimate[s], step[s], u, unknowns);
      Combinations.addTimes(error[s], -step[s], effect, rows);
    }
    return effect;
  }

  /** What unknowns of these sizes add to each row; freed patterns may be left away. */
  public double[] predicted(double[] sizes) {
    double[] effect = new double[rows];
    Combinations.addCombination(effect, sizes, design, Math.min(unknowns, sizes.length), rows);
    return effect;
  }

  /** Gives a row another value, in every set. */
  public void replace(int row, double[] value) {
    double[] step = new double[sets];
    for (int s = 0; s < sets; s++) {
      double change = value[s] - values[s][row];
      values[s][row] = value[s];
      error[s][row] += change;
      step[s] = change;
    }
    if (!leftOut[row]) {
      move(timesCovariance(rowOf(row)), step);
    }
  }

  /**
   * Gives a row that is left out another design.
   *
   * @param x effect of each term, then of each pattern freed; patterns left away do not touch it
   */
  public void redesign(int row, double[] x) {
    if (!leftOut[row]) {
      throw new IllegalStateException("row " + row + " is in use");
    }
    double[] effect = Arrays.copyOf(x, unknowns);
    for (int k = 0; k < unknowns; k++) {
      design[k][row] = effect[k];
    }
    leverage[row] = Combinations.dot(effect, timesCovariance(effect), unknowns);
    for (int s = 0; s < sets; s++) {
      error[s][row] = values[s][row] - Combinations.dot(effect, estimate[s], unknowns);
    }
  }

  private double[] rowOf(int row) {
    double[] x = new double[unknowns];
    for (int k = 0; k < unknowns; k++) {
      x[k] = design[k][row];
    }
    return x;
  }

  /**
   * Frees a pattern: its size becomes an unknown without a prior.
   *
   * @param pattern effect on each row of one unit of it
   * @return its number among the patterns freed, from 0
   */
  public int free(double[] pattern) {
    double[] u = timesCovariance(alongDesign(pattern));
    double[] effect = predicted(u);
    double rest = 0;
    double[] along = new double[sets];
    for (int i = 0; i < rows; i++) {
      effect[i] = pattern[i] - effect[i];
      if (!leftOut[i]) {
        rest += pattern[i] * effect[i];
        for (int s = 0; s < sets; s++) {
          along[s] += pattern[i] * error[s][i];
        }
      }
    }
    appendUnknown(pattern);
    for (int k = 0; k < unknowns - 1; k++) {
      Combinations.addTimes(covariance[k], u[k] / rest, u, unknowns - 1);
      covariance[k][unknowns - 1] = -u[k] / rest;
      covariance[unknowns - 1][k] = -u[k] / rest;
    }
    covariance[unknowns - 1][unknowns - 1] = 1 / rest;
    for (int i = 0; i < rows; i++) {
      leverage[i] += effect[i] * effect[i] / rest;
    }
    for (int s = 0; s < sets; s++) {
      double size = along[s] / rest;
      Combinations.addTimes(estimate[s], -size, u, unknowns - 1);
      estimate[s][unknowns - 1] = size;
      Combinations.addTimes(error[s], -size, effect, rows);
    }
    return unknowns - 1 - terms;
  }

  /** Fixes a freed pattern at nothing again; the last one takes its number. */
  public void bind(int number) {
    int at = terms + number;
    double[] u = Arrays.copyOf(covariance[at], unknowns);
    double variance = u[at];
    double[] step = new double[sets];
    for (int s = 0; s < sets; s++) {
      step[s] = -estimate[s][at] / variance;
    }
    rankOne(u, -1 / variance, step);
    int last = unknowns - 1;
    design[at] = design[last];
    covariance[at] = covariance[last];
    for (int k = 0; k < unknowns; k++) {
      covariance[k][at] = covariance[k][last];
    }
    for (int s = 0; s < sets; s++) {
      estimate[s][at] = estimate[s][last];
    }
    unknowns--;
  }

  /** Size of a freed pattern, by one set of values. */
  public double size(int number, int set) {
    return estimate[set][terms + number];
  }

  /** Variance of that size, in units of the noise variance. */
  public double sizeVariance(int number) {
    return covariance[terms + number][terms + number];
  }

  /** What is left of |pattern|² over the rows in use, once the unknowns have taken their part. */
  public double remainder(double[] pattern) {
    double[] w = alongDesign(pattern);
    double square = 0;
    for (int i = 0; i < rows; i++) {
      square += leftOut[i] ? 0 : pattern[i] * pattern[i];
    }
    return square - Combinations.dot(w, timesCovariance(w), unknowns);
  }

  private double[] alongDesign(double[] pattern) {
    double[] masked = new double[rows];
    int from = rows;
    int to = 0;
    for (int i = 0; i < rows; i++) {
      if (pattern[i] != 0 && !leftOut[i]) {
        masked[i] = pattern[i];
        from = Math.min(from, i);
        to = i + 1;
      }
    }
    double[] w = new double[unknowns];
    for (int k = 0; k < unknowns; k++) {
      double s = 0;
      double[] column = design[k];
      for (int i = from; i < to; i++) {
        s += column[i] * masked[i];
      }
      w[k] = s;
    }
    return w;
  }

  public boolean isLeftOut(int row) {
    return leftOut[row];
  }

  /** Value less the prediction by the estimate; a row left out does not take part in that. */
  public double residual(int row, int set) {
    return error[set][row];
  }

  /**
   * Variance of the residual, in units of the noise variance: 1 − leverage for a row in use, 1 +
   * leverage for one left out.
   */
  public double residualVariance(int row) {
    return leftOut[row] ? 1 + leverage[row] : Math.max(0, 1 - leverage[row]);
  }

  /** The terms by one set of values. */
  public double[] estimate(int set) {
    return Arrays.copyOf(estimate[set], terms);
  }

  private void appendUnknown(double[] pattern) {
    int n = unknowns;
    unknowns++;
    if (design.length < unknowns) {
      int room = n + 8;
      design = Arrays.copyOf(design, room);
      covariance = Arrays.copyOf(covariance, room);
      for (int k = 0; k < room; k++) {
        covariance[k] = k < n ? Arrays.copyOf(covariance[k], room) : new double[room];
      }
      for (int s = 0; s < sets; s++) {
        estimate[s] = Arrays.copyOf(estimate[s], room);
      }
    }
    design[n] = Arrays.copyOf(pattern, leverage.length);
  }

  private void ensureRoom(int needed) {
    if (needed <= leverage.length) {
      return;
    }
    int room = Math.max(needed, 2 * leverage.length);
    leverage = Arrays.copyOf(leverage, room);
    leftOut = Arrays.copyOf(leftOut, room);
    for (int k = 0; k < unknowns; k++) {
      design[k] = Arrays.copyOf(design[k], room);
    }
    for (int s = 0; s < sets; s++) {
      values[s] = Arrays.copyOf(values[s], room);
      error[s] = Arrays.copyOf(error[s], room);
    }
  }

  private double[] timesCovariance(double[] x) {
    double[] product = new double[unknowns];
    Combinations.addCombination(product, x, covariance, unknowns, unknowns);
    return product;
  }
}
