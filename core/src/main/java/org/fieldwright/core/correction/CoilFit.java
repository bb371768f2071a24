package org.fieldwright.core.correction;

import java.util.Arrays;
import org.ejml.data.DMatrixRMaj;
import org.ejml.dense.row.factory.LinearSolverFactory_DDRM;
import org.ejml.interfaces.linsol.LinearSolverDense;

/**
 * Coil currents that make a field even at given points, within what the coils can carry. A field
 * common to all points costs nothing: the centre is free.
 *
 * @param before field at the points, ppm
 * @param response by coil and point: what one unit of current adds, ppm
 * @param lower smallest change of each current
 * @param upper largest change of each current
 */
@SuppressWarnings("ArrayRecordComponent") // matrices, not compared
record CoilFit(double[] before, double[][] response, double[] lower, double[] upper) {
  private static final double GRADIENT_TOLERANCE = 1e-10;
  private static final int MOST_PIVOTS = 100_000;

  CoilFit {
    for (double[] column : response) {
      if (column.length != before.length) {
        throw new IllegalArgumentException("every coil needs its response at every point");
      }
    }
  }

  /**
   * Least mean square about the mean, every point counting alike: bounded-variable least squares
   * (Stark and Parker 1995) on orthogonal factors of the columns that are free.
   */
  double[] leastSquares() {
    double[] target = lessMean(before);
    double[][] columns = Arrays.stream(response).map(CoilFit::lessMean).toArray(double[][]::new);
    int n = columns.length;
    double[] x = clamp(solve(columns, target, new double[n], allFree(n)));
    boolean[] free = new boolean[n];
    for (int k = 0; k < n; k++) {
      free[k] = x[k] > lower[k] && x[k] < upper[k];
    }
    for (int round = 0; round < 30 * (n + 1); round++) {
      double[] next = solve(columns, target, x, free);
      if (stepWithin(x, next, free)) {
        int freed = mostWilling(columns, target, x, free);
        if (freed < 0) {
          return x;
        }
        free[freed] = true;
      }
    }
    throw new IllegalStateException("bounded least squares did not end");
  }

  /** Least peak-to-peak over the points, by linear programming. */
  double[] minimax() {
    int n = response.length;
    double[] cost = new double[n + 2];
    double[] low = Arrays.copyOf(lower, n + 2);
    double[] high = Arrays.copyOf(upper, n + 2);
    low[n] = Double.NEGATIVE_INFINITY;
    high[n] = Double.POSITIVE_INFINITY;
    high[n + 1] = Double.POSITIVE_INFINITY;
    cost[n + 1] = 2;
    BoundedSimplex program = new BoundedSimplex(cost, new double[n + 2], low, high);
    for (int side = -1; side <= 1; side += 2) {
      for (int i = 0; i < before.length; i++) {
        double[] row = new double[n + 2];
        for (int k = 0; k < n; k++) {
          row[k] = side * response[k][i];
        }
        row[n] = -side;
        row[n + 1] = -1;
        program.addRow(row, -side * before[i]);
      }
    }
    if (program.solve(MOST_PIVOTS) != BoundedSimplex.Status.OPTIMAL) {
      throw new IllegalStateException("the coil program did not end");
    }
    return Arrays.copyOf(program.solution(), n);
  }

  /** Peak-to-peak over the points with these changes of current, ppm. */
  double peakToPeak(double[] change) {
    double[] field = field(before, response, change);
    return Arrays.stream(field).max().orElse(0) - Arrays.stream(field).min().orElse(0);
  }

  double[] clamp(double[] change) {
    double[] x = change.clone();
    for (int k = 0; k < x.length; k++) {
      x[k] = Math.max(lower[k], Math.min(upper[k], x[k]));
    }
    return x;
  }

  private static double[] lessMean(double[] v) {
    double mean = Arrays.stream(v).average().orElse(0);
    return Arrays.stream(v).map(e -> e - mean).toArray();
  }

  private static boolean[] allFree(int n) {
    boolean[] free = new boolean[n];
    Arrays.fill(free, true);
    return free;
  }

  private static double[] field(double[] start, double[][] columns, double[] x) {
    double[] field = start.clone();
    for (int k = 0; k < columns.length; k++) {
      for (int i = 0; i < field.length; i++) {
        field[i] += x[k] * columns[k][i];
      }
    }
    return field;
  }

  /** x with its free entries at their least squares, the others as they are. */
  private static double[] solve(double[][] columns, double[] target, double[] x, boolean[] free) {
    double[] fixed = x.clone();
    int[] which = new int[columns.length];
    int count = 0;
    for (int k = 0; k < columns.length; k++) {
      if (free[k]) {
        fixed[k] = 0;
        which[count++] = k;
      }
    }
    if (count == 0) {
      return fixed;
    }
    double[] rest = field(target, columns, fixed);
    DMatrixRMaj a = new DMatrixRMaj(rest.length, count);
    DMatrixRMaj b = new DMatrixRMaj(rest.length, 1);
    for (int i = 0; i < rest.length; i++) {
      b.set(i, 0, -rest[i]);
      for (int k = 0; k < count; k++) {
        a.set(i, k, columns[which[k]][i]);
      }
    }
    LinearSolverDense<DMatrixRMaj> qr = LinearSolverFactory_DDRM.leastSquaresQrPivot(true, false);
    DMatrixRMaj answer = new DMatrixRMaj(count, 1);
    if (!qr.setA(a)) {
      throw new IllegalStateException("no factors of the coils' responses");
    }
    qr.solve(b, answer);
    for (int k = 0; k < count; k++) {
      fixed[which[k]] = answer.get(k, 0);
    }
    return fixed;
  }

  /**
   * Moves x towards a target as far as the bounds allow and fixes what meets one; true if it got
   * there.
   */
  private boolean stepWithin(double[] x, double[] target, boolean[] free) {
    double share = 1;
    int stopped = -1;
    for (int k = 0; k < x.length; k++) {
      if (free[k] && (target[k] < lower[k] || target[k] > upper[k])) {
        double bound = target[k] < lower[k] ? lower[k] : upper[k];
        double reached = (bound - x[k]) / (target[k] - x[k]);
        if (stopped < 0 || reached < share) {
          share = reached;
          stopped = k;
        }
      }
    }
    for (int k = 0; k < x.length; k++) {
      if (free[k]) {
        x[k] += share * (target[k] - x[k]);
      }
    }
    if (stopped < 0) {
      return true;
    }
    x[stopped] = target[stopped] < lower[stopped] ? lower[stopped] : upper[stopped];
    free[stopped] = false;
    return false;
  }

  /** The bound column that would lower the sum of squares fastest if let go; −1 if none would. */
  private int mostWilling(double[][] columns, double[] target, double[] x, boolean[] free) {
    double[] residual = field(target, columns, x);
    double norm = Math.sqrt(Arrays.stream(residual).map(r -> r * r).sum());
    int best = -1;
    double bestGain = 0;
    for (int k = 0; k < x.length; k++) {
      if (free[k] || lower[k] == upper[k]) {
        continue;
      }
      double slope = 0;
      double size = 0;
      for (int i = 0; i < residual.length; i++) {
        slope += residual[i] * columns[k][i];
        size += columns[k][i] * columns[k][i];
      }
      double gain = x[k] <= lower[k] ? -slope : slope;
      if (gain > Math.max(bestGain, GRADIENT_TOLERANCE * norm * Math.sqrt(size))) {
        bestGain = gain;
        best = k;
      }
    }
    return best;
  }
}
