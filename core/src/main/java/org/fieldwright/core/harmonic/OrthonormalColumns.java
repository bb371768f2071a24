package org.fieldwright.core.harmonic;

import java.util.Arrays;
import org.jspecify.annotations.Nullable;

/**
 * A growing QR factorisation: columns are appended one by one, each made orthogonal to those before
 * it, or left out where it adds nothing.
 *
 * <p>Classical Gram–Schmidt applied twice ("twice is enough", Giraud, Langou &amp; Rozložník 2005):
 * as orthogonal as Householder's to working precision, with an explicit Q. That Q is the point: the
 * leverage of every row is known at once, lower degrees are nested in higher ones, and a reading is
 * set aside by appending a column that is 1 on its row alone.
 *
 * <p>Not thread-safe.
 */
public final class OrthonormalColumns {
  private final int rows;
  private double[] q;
  private static final int FEW = 4; // a column with fewer than rows/4 entries counts as sparse

  private double[] r; // packed upper triangle, column j at j(j+1)/2
  private int count;
  private final double[] leverage;
  private double[] scratch = new double[0];

  public OrthonormalColumns(int rows, int expectedColumns) {
    this.rows = rows;
    q = new double[rows * Math.max(1, expectedColumns)];
    r = new double[packed(Math.max(1, expectedColumns))];
    leverage = new double[rows];
  }

  private OrthonormalColumns(OrthonormalColumns source, int columns) {
    rows = source.rows;
    count = columns;
    int room = columns + 32;
    q = Arrays.copyOf(Arrays.copyOf(source.q, rows * columns), rows * room);
    r = Arrays.copyOf(Arrays.copyOf(source.r, packed(columns)), packed(room));
    leverage = new double[rows];
    for (int j = 0; j < columns; j++) {
      addLeverage(j);
    }
  }

  private static int packed(int columns) {
    return columns * (columns + 1) / 2;
  }

  public int rows() {
    return rows;
  }

  /** Columns kept so far: the rank. */
  public int count() {
    return count;
  }

  /** The first {@code columns} columns alone; appending to it leaves this one untouched. */
  public OrthonormalColumns first(int columns) {
    return new OrthonormalColumns(this, columns);
  }

  /**
   * Appends a column unless what is left of it after projection is too little.
   *
   * @param column length rows; not changed
   * @param tolerance smallest kept remainder relative to the column's own norm
   * @return the remainder relative to the column's norm (0 for a zero column); kept if above the
   *     tolerance
   */
  public double append(double[] column, double tolerance) {
    double norm = norm(column);
    if (norm == 0) {
      return 0;
    }
    ensureRoom();
    int at = count * rows;
    System.arraycopy(column, 0, q, at, rows);
    int column0 = packed(count);
    Arrays.fill(r, column0, column0 + count + 1, 0);
    int[] where = fewNonZeros(column);
    for (int j = 0; j < count; j++) {
      scratch[j] = where == null ? dot(j * rows, at) : sparse(j, column, where);
    }
    subtractScratch(at, column0);
    for (int j = 0; j < count; j++) { // once more: removes what rounding left of the first pass
      scratch[j] = dot(j * rows, at);
    }
    subtractScratch(at, column0);
    double rest = 0;
    for (int i = 0; i < rows; i++) {
      rest += q[at + i] * q[at + i];
    }
    rest = Math.sqrt(rest);
    if (!(rest > tolerance * norm)) {
      return rest / norm;
    }
    for (int i = 0; i < rows; i++) {
      q[at + i] /= rest;
    }
    r[column0 + count] = rest;
    addLeverage(count);
    count++;
    return rest / norm;
  }

  /**
   * Appends a column known to be orthonormal to those before it.
   *
   * @param direction length rows, of norm one
   * @param factors its column of R, length count + 1
   */
  void appendOrthonormal(double[] direction, double[] factors) {
    ensureRoom();
    System.arraycopy(direction, 0, q, count * rows, rows);
    System.arraycopy(factors, 0, r, packed(count), count + 1);
    addLeverage(count);
    count++;
  }

  private void subtractScratch(int at, int column0) {
    int n = rows;
    for (int j = 0; j < count; j++) {
      double s = scratch[j];
      r[column0 + j] += s;
      int base = j * n;
      for (int i = 0; i < n; i++) {
        q[at + i] -= s * q[base + i];
      }
    }
  }

  private double dot(int a, int b) {
    double s0 = 0;
    double s1 = 0;
    int i = 0;
    for (; i + 1 < rows; i += 2) { // two chains: the sum is not bound by the latency of one
      s0 += q[a + i] * q[b + i];
      s1 += q[a + i + 1] * q[b + i + 1];
    }
    return i < rows ? s0 + s1 + q[a + i] * q[b + i] : s0 + s1;
  }

  private void ensureRoom() {
    if ((count + 1) * rows > q.length) {
      int room = Math.max(count + 8, count * 3 / 2);
      q = Arrays.copyOf(q, room * rows);
    }
    if (packed(count + 1) > r.length) {
      r = Arrays.copyOf(r, packed(Math.max(count + 8, count * 3 / 2)));
    }
    if (scratch.length < count + 1) {
      scratch = new double[count + 64];
    }
  }

  private void addLeverage(int column) {
    int base = column * rows;
    for (int i = 0; i < rows; i++) {
      leverage[i] += q[base + i] * q[base + i];
    }
  }

  /** Diagonal of the projection QQᵀ, 0..1 for each row. A live view, not to be changed. */
  double[] leverage() {
    return leverage;
  }

  /** Leverage of a row, 0..1. */
  public double leverage(int row) {
    return leverage[row];
  }

  /** q_ij. */
  public double q(int row, int column) {
    return q[column * rows + row];
  }

  /** r_ij, i ≤ j. */
  public double r(int i, int j) {
    return r[packed(j) + i];
  }

  /** Qᵀy: the coordinates of y in the columns. */
  public double[] coordinates(double[] y) {
    double[] c = new double[count];
    int[] where = fewNonZeros(y);
    for (int j = 0; j < count; j++) {
      c[j] = where == null ? coordinate(j, y) : sparse(j, y, where);
    }
    return c;
  }

  /** Where y is not zero; null where that is no small part of it. */
  private int @Nullable [] fewNonZeros(double[] y) {
    int[] where = new int[rows / FEW + 1];
    int found = 0;
    for (int i = 0; i < rows; i++) {
      if (y[i] != 0) {
        if (found == where.length) {
          return null;
        }
        where[found++] = i;
      }
    }
    return Arrays.copyOf(where, found);
  }

  private double sparse(int column, double[] y, int[] where) {
    double s = 0;
    int base = column * rows;
    for (int i : where) {
      s += q[base + i] * y[i];
    }
    return s;
  }

  /** q_jᵀ y. */
  public double coordinate(int column, double[] y) {
    double s0 = 0;
    double s1 = 0;
    double s2 = 0;
    double s3 = 0;
    int base = column * rows;
    int i = 0;
    for (; i + 3 < rows; i += 4) { // four chains, as in dot
      s0 += q[base + i] * y[i];
      s1 += q[base + i + 1] * y[i + 1];
      s2 += q[base + i + 2] * y[i + 2];
      s3 += q[base + i + 3] * y[i + 3];
    }
    for (; i < rows; i++) {
      s0 += q[base + i] * y[i];
    }
    return s0 + s1 + (s2 + s3);
  }

  /** Subtracts {@code factor} × column from y in place. */
  public void subtract(int column, double factor, double[] y) {
    int base = column * rows;
    for (int i = 0; i < rows; i++) {
      y[i] -= factor * q[base + i];
    }
  }

  /** Solves R x = c by back substitution, in place. */
  public void solveUpper(double[] c) {
    for (int j = count - 1; j >= 0; j--) {
      int base = packed(j);
      double x = c[j] / r[base + j];
      c[j] = x;
      for (int i = 0; i < j; i++) {
        c[i] -= r[base + i] * x;
      }
    }
  }

  /** R⁻¹ of the first columns, row-major size × size, zero below the diagonal. */
  public double[] inverseUpper(int size) {
    double[] inverse = new double[size * size];
    double[] e = new double[size];
    for (int k = 0; k < size; k++) {
      Arrays.fill(e, 0);
      e[k] = 1;
      for (int j = k; j >= 0; j--) {
        int base = packed(j);
        double x = e[j] / r[base + j];
        e[j] = x;
        inverse[j * size + k] = x;
        for (int i = 0; i < j; i++) {
          e[i] -= r[base + i] * x;
        }
      }
    }
    return inverse;
  }

  /** (RᵀR)⁻¹ of the first columns, row-major: the covariance of their factors per unit variance. */
  public double[] unitCovariance(int size) {
    double[] inverse = inverseUpper(size);
    double[] covariance = new double[size * size];
    for (int i = 0; i < size; i++) {
      for (int j = i; j < size; j++) {
        double sum = 0;
        for (int k = j; k < size; k++) {
          sum += inverse[i * size + k] * inverse[j * size + k];
        }
        covariance[i * size + j] = sum;
        covariance[j * size + i] = sum;
      }
    }
    return covariance;
  }

  private static double norm(double[] v) {
    double s = 0;
    for (double e : v) {
      s += e * e;
    }
    return Math.sqrt(s);
  }
}
