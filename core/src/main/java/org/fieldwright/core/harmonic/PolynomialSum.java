package org.fieldwright.core.harmonic;

import java.util.Arrays;

/**
 * A sum Σ c ρ^(2j) T_LM, L + 2j ≤ 2N, such as a quadratic form of the harmonics up to degree N is
 * ({@link HarmonicProducts#quadratic}), to be evaluated at many points. Not thread-safe.
 */
final class PolynomialSum {
  private final double[][] table;
  private final double[] power;
  private final double[] along; // the sum over j, by L and M

  /**
   * @param table coefficients as {@link HarmonicProducts#table} lays them out
   */
  PolynomialSum(double[][] table) {
    this.table = table;
    power = new double[table.length];
    along = new double[table[0].length];
  }

  /**
   * The sum at a point.
   *
   * @param harmonics there, at least up to degree 2N
   * @param square ρ² there
   */
  double at(double[] harmonics, double square) {
    int rows = table.length;
    power[0] = 1;
    for (int j = 1; j < rows; j++) {
      power[j] = power[j - 1] * square;
    }
    Arrays.fill(along, 0);
    int j = 0;
    for (; j + 3 < rows; j += 4) { // four rows at once as far as the shortest goes
      int common = table[j + 3].length;
      Combinations.addFour(along, power, j, table, j, 0, common);
      for (int i = j; i < j + 3; i++) {
        addRow(i, common);
      }
    }
    for (; j < rows; j++) {
      addRow(j, 0);
    }
    return Combinations.product(along, harmonics, along.length);
  }

  private void addRow(int j, int from) {
    double[] row = table[j];
    double times = power[j];
    for (int i = from; i < row.length; i++) {
      along[i] += times * row[i];
    }
  }
}
