package org.fieldwright.core.correction;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * The explicit tableau of {@link BoundedSimplex}: every basic variable as basic_i + Σ_k T_ik
 * nonbasic_k = constant. Variables 0 … columns−1 are the program's, columns + i is the slack of the
 * i-th row ever added.
 */
final class SimplexTableau {
  private static final double WEIGHT_LIMIT = 1e7; // Devex starts a new reference frame
  final int columns;
  final int[] nonbasic;
  final double[] nonbasicValue;
  private static final double SINGULAR = 1e-11;

  final double[] reduced;
  int rows;
  int[] basic = new int[64];
  double[] basicValue = new double[64];
  double[] weight = new double[64];
  private double[][] table = new double[64][];
  private final List<double[]> originals = new ArrayList<>();
  private final List<Double> rightSides = new ArrayList<>();
  private final List<Integer> live = new ArrayList<>();

  SimplexTableau(int columns) {
    this.columns = columns;
    nonbasic = new int[columns];
    Arrays.setAll(nonbasic, j -> j);
    nonbasicValue = new double[columns];
    reduced = new double[columns];
  }

  double[] row(int i) {
    return table[i];
  }

  int placeOfNonbasic(int variable) {
    for (int k = 0; k < columns; k++) {
      if (nonbasic[k] == variable) {
        return k;
      }
    }
    return -1;
  }

  /** Adds original row·x ≤ rhs with its slack basic. */
  void addRow(double[] original, double rhs) {
    int id = originals.size();
    originals.add(original);
    rightSides.add(rhs);
    live.add(id);
    grow();
    double[] row = new double[columns];
    for (int k = 0; k < columns; k++) {
      if (nonbasic[k] < columns) {
        row[k] = original[nonbasic[k]];
      }
    }
    double activity = 0;
    for (int k = 0; k < columns; k++) {
      activity += row[k] * nonbasicValue[k];
    }
    for (int i = 0; i < rows; i++) {
      if (basic[i] < columns) {
        double a = original[basic[i]];
        activity += a * basicValue[i];
        if (a != 0) {
          subtract(row, table[i], a);
        }
      }
    }
    table[rows] = row;
    basic[rows] = columns + id;
    basicValue[rows] = rhs - activity;
    weight[rows] = 1;
    rows++;
  }

  private void grow() {
    if (rows == basic.length) {
      int size = rows * 2;
      basic = Arrays.copyOf(basic, size);
      basicValue = Arrays.copyOf(basicValue, size);
      weight = Arrays.copyOf(weight, size);
      table = Arrays.copyOf(table, size);
    }
  }

  private static void subtract(double[] row, double[] other, double factor) {
    for (int k = 0; k < row.length; k++) {
      row[k] -= factor * other[k];
    }
  }

  void moveNonbasic(int k, double value) {
    double step = value - nonbasicValue[k];
    if (step == 0) {
      return;
    }
    nonbasicValue[k] = value;
    for (int i = 0; i < rows; i++) {
      basicValue[i] -= table[i][k] * step;
    }
  }

  /** The basic variable of row r leaves at {@code leavingValue}, the nonbasic one at k enters. */
  void pivot(int r, int k, double leavingValue) {
    double[] pivotRow = table[r];
    double alpha = pivotRow[k];
    double step = (basicValue[r] - leavingValue) / alpha;
    double inverse = 1 / alpha;
    for (int l = 0; l < columns; l++) {
      pivotRow[l] *= inverse;
    }
    pivotRow[k] = inverse;
    if (weight[r] > WEIGHT_LIMIT) {
      Arrays.fill(weight, 0, rows, 1);
    }
    double devex = weight[r] * inverse * inverse;
    for (int i = 0; i < rows; i++) {
      if (i == r) {
        continue;
      }
      double[] row = table[i];
      double a = row[k];
      if (a == 0) {
        continue;
      }
      row[k] = 0;
      subtract(row, pivotRow, a);
      basicValue[i] -= a * step;
      weight[i] = Math.max(weight[i], a * a * devex);
    }
    double d = reduced[k];
    if (d != 0) {
      reduced[k] = 0;
      subtract(reduced, pivotRow, d);
    }
    weight[r] = Math.max(devex, 1);
    int entering = nonbasic[k];
    nonbasic[k] = basic[r];
    basic[r] = entering;
    basicValue[r] = nonbasicValue[k] + step;
    nonbasicValue[k] = leavingValue;
  }

  void setReducedCosts(double[] cost) {
    for (int k = 0; k < columns; k++) {
      reduced[k] = nonbasic[k] < columns ? cost[nonbasic[k]] : 0;
    }
    for (int i = 0; i < rows; i++) {
      double c = basic[i] < columns ? cost[basic[i]] : 0;
      if (c != 0) {
        subtract(reduced, table[i], c);
      }
    }
  }

  void dropSlackRows(double margin) {
    int kept = 0;
    for (int i = 0; i < rows; i++) {
      if (basic[i] >= columns && basicValue[i] > margin) {
        live.remove(Integer.valueOf(basic[i] - columns));
        continue;
      }
      table[kept] = table[i];
      basic[kept] = basic[i];
      basicValue[kept] = basicValue[i];
      weight[kept] = weight[i];
      kept++;
    }
    rows = kept;
  }

  /**
   * Recomputes everything but the reduced costs from the original rows and the present basis. A
   * variable that cannot be basic again stays nonbasic at 0, which need not be one of its bounds.
   */
  void rebuild() {
    boolean[] wanted = new boolean[columns];
    for (int i = 0; i < rows; i++) {
      if (basic[i] < columns) {
        wanted[basic[i]] = true;
      }
    }
    boolean[] slackNonbasic = new boolean[originals.size()];
    double[] value = new double[columns];
    for (int k = 0; k < columns; k++) {
      if (nonbasic[k] >= columns) {
        slackNonbasic[nonbasic[k] - columns] = true;
      } else {
        value[nonbasic[k]] = nonbasicValue[k];
      }
    }
    double[] oldWeight = new double[columns + originals.size()];
    for (int i = 0; i < rows; i++) {
      oldWeight[basic[i]] = weight[i];
    }
    startFromSlacks(value, wanted);
    for (int j = 0; j < columns; j++) {
      if (wanted[j]) {
        enter(j, slackNonbasic);
      }
    }
    for (int i = 0; i < rows; i++) {
      weight[i] = Math.max(1, oldWeight[basic[i]]);
    }
  }

  private void startFromSlacks(double[] value, boolean[] wanted) {
    for (int j = 0; j < columns; j++) {
      nonbasic[j] = j;
      nonbasicValue[j] = wanted[j] ? 0 : value[j];
    }
    for (int i = 0; i < rows; i++) {
      int id = live.get(i);
      double[] original = originals.get(id);
      table[i] = original.clone();
      basic[i] = columns + id;
      double activity = 0;
      for (int j = 0; j < columns; j++) {
        activity += original[j] * nonbasicValue[j];
      }
      basicValue[i] = rightSides.get(id) - activity;
    }
  }

  /**
   * Pivots variable j in for the slack, of those that must leave, with the largest pivot. Where
   * rounding has made the basis singular j stays out and a slack in its place.
   */
  private void enter(int j, boolean[] slackNonbasic) {
    int best = -1;
    double bestPivot = SINGULAR;
    for (int i = 0; i < rows; i++) {
      if (basic[i] >= columns && slackNonbasic[basic[i] - columns]) {
        double a = Math.abs(table[i][j]);
        if (a > bestPivot) {
          bestPivot = a;
          best = i;
        }
      }
    }
    if (best >= 0) {
      pivot(best, j, 0);
    }
  }
}
