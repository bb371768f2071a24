package org.fieldwright.core.harmonic;

import java.util.Arrays;
import java.util.stream.IntStream;
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
  /** A column with fewer than rows / FEW entries counts as sparse. */
  private static final int FEW = 4;

  /**
   * A column of which this share is left is orthogonal enough after one pass (Daniel, Gragg,
   * Kaufman &amp; Stewart 1976).
   */
  private static final double ENOUGH = Math.sqrt(0.5);

  /** Columns that are made orthogonal to all earlier ones together, so that those are read once. */
  private static final int PANEL = 64;

  private final int rows;
  private double[][] q; // by column; a column once appended is never written again
  private double[][] r; // column j of the upper triangle, length j + 1
  private int count;
  private final double[] leverage;

  public OrthonormalColumns(int rows, int expectedColumns) {
    this.rows = rows;
    q = new double[Math.max(1, expectedColumns)][];
    r = new double[q.length][];
    leverage = new double[rows];
  }

  private OrthonormalColumns(OrthonormalColumns source, int columns) {
    rows = source.rows;
    count = columns;
    q = Arrays.copyOf(Arrays.copyOf(source.q, columns), columns + 32);
    r = Arrays.copyOf(Arrays.copyOf(source.r, columns), columns + 32);
    if (columns == source.count) {
      leverage = source.leverage.clone();
    } else {
      leverage = new double[rows];
      for (int j = 0; j < columns; j++) {
        addLeverage(q[j]);
      }
    }
  }

  public int rows() {
    return rows;
  }

  /** Columns kept so far: the rank. */
  public int count() {
    return count;
  }

  /**
   * The first {@code columns} columns alone, which are shared and not copied; appending to it
   * leaves this one untouched.
   */
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
    double[] own = column.clone();
    double[] factors = new double[count + 1];
    double rest = project(own, factors, fewNonZeros(column));
    if (rest < ENOUGH * norm) { // once more: removes what rounding left of the first pass
      rest = project(own, factors, null);
    }
    if (rest > tolerance * norm) {
      keep(own, factors, rest);
    }
    return rest / norm;
  }

  /** Takes the columns so far off a vector, adding their coordinates to the factors; its norm. */
  private double project(double[] y, double[] factors, int @Nullable [] where) {
    return takeOff(y, where == null ? dense(y) : sparse(y, where), q, factors, 0);
  }

  /**
   * Takes some columns off a vector.
   *
   * @param c its coordinates in them; used up
   * @param factors to which they are added from the place {@code at} on
   * @return norm of what is left
   */
  private double takeOff(double[] y, double[] c, double[][] columns, double[] factors, int at) {
    for (int j = 0; j < c.length; j++) {
      factors[at + j] += c[j];
      c[j] = -c[j];
    }
    Combinations.addCombination(y, c, columns, c.length, rows);
    return norm(y);
  }

  private void keep(double[] direction, double[] factors, double rest) {
    for (int i = 0; i < rows; i++) {
      direction[i] /= rest;
    }
    factors[count] = rest;
    appendOrthonormal(direction, factors);
  }

  /**
   * Appends a column known to be orthonormal to those before it.
   *
   * @param direction length rows, of norm one; kept, not copied
   * @param factors its column of R, length count + 1; kept, not copied
   */
  void appendOrthonormal(double[] direction, double[] factors) {
    if (count == q.length) {
      int room = Math.max(count + 8, count * 3 / 2);
      q = Arrays.copyOf(q, room);
      r = Arrays.copyOf(r, room);
    }
    q[count] = direction;
    r[count] = factors;
    addLeverage(direction);
    count++;
  }

  /**
   * Appends many columns, as one after the other by {@link #append}, in panels: the columns before
   * a panel are read once for all of it, a few rows at a time that stay in the processor's cache.
   *
   * @param columns each of length rows; used up
   * @param tolerance as for one
   * @return which were kept
   */
  boolean[] appendAll(double[][] columns, double tolerance) {
    boolean[] kept = new boolean[columns.length];
    for (int from = 0; from < columns.length; from += PANEL) {
      double[][] panel = Arrays.copyOfRange(columns, from, Math.min(from + PANEL, columns.length));
      double[] norm = Arrays.stream(panel).mapToDouble(OrthonormalColumns::norm).toArray();
      double[][] factors = new double[panel.length][count];
      int before = count;
      projectPanel(panel, factors, norm);
      for (int k = 0; k < panel.length; k++) {
        kept[from + k] = appendWithin(panel[k], factors[k], before, norm[k], tolerance);
      }
    }
    return kept;
  }

  /**
   * Appends a column that is orthogonal to the columns before its panel.
   *
   * @param ofEarlier its coordinates in those
   * @param norm of the column as it was
   */
  private boolean appendWithin(
      double[] column, double[] ofEarlier, int before, double norm, double tolerance) {
    double[] factors = Arrays.copyOf(ofEarlier, count + 1);
    double[][] panel = slice(before, count);
    double atFirst = norm(column);
    double[] c = Combinations.products(column, panel, panel.length, rows);
    double rest = takeOff(column, c, panel, factors, before);
    if (rest < ENOUGH * atFirst) { // what rounding left along all earlier ones weighs more now
      rest = project(column, factors, null);
    }
    boolean kept = norm > 0 && rest > tolerance * norm;
    if (kept) {
      keep(column, factors, rest);
    }
    return kept;
  }

  /**
   * Takes the columns so far off a panel; a second time off those of which the first left little.
   *
   * @param factors to which the coordinates are added
   * @param norm of each column of the panel
   */
  private void projectPanel(double[][] panel, double[][] factors, double[] norm) {
    double[][] on = slice(0, count);
    Combinations.project(on, panel, factors, rows);
    int[] again =
        IntStream.range(0, panel.length).filter(k -> norm(panel[k]) < ENOUGH * norm[k]).toArray();
    double[][] few = Arrays.stream(again).mapToObj(k -> panel[k]).toArray(double[][]::new);
    double[][] theirs = Arrays.stream(again).mapToObj(k -> factors[k]).toArray(double[][]::new);
    Combinations.project(on, few, theirs, rows);
  }

  private void addLeverage(double[] column) {
    for (int i = 0; i < rows; i++) {
      leverage[i] += column[i] * column[i];
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
    return q[column][row];
  }

  /** r_ij, i ≤ j. */
  public double r(int i, int j) {
    return r[j][i];
  }

  /** Qᵀy: the coordinates of y in the columns. */
  public double[] coordinates(double[] y) {
    int[] where = fewNonZeros(y);
    return where == null ? dense(y) : sparse(y, where);
  }

  /**
   * What some columns explain of a vector: Σ (q_jᵀ y)² from one column on.
   *
   * @param where y is not zero
   */
  double explained(double[] y, int[] where, int from) {
    double explained = 0;
    for (int j = from; j < count; j++) {
      double c = sparse(q[j], y, where);
      explained += c * c;
    }
    return explained;
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

  private double[] dense(double[] y) {
    return Combinations.products(y, q, count, rows);
  }

  private double[] sparse(double[] y, int[] where) {
    double[] c = new double[count];
    for (int j = 0; j < count; j++) {
      c[j] = sparse(q[j], y, where);
    }
    return c;
  }

  private static double sparse(double[] column, double[] y, int[] where) {
    double s = 0;
    for (int i : where) {
      s += column[i] * y[i];
    }
    return s;
  }

  /** What the columns leave of a vector. */
  public double[] remainder(double[] y) {
    double[] rest = y.clone();
    double[] factors = new double[count];
    if (project(rest, factors, fewNonZeros(y)) < ENOUGH * norm(y)) { // as in the factorisation
      project(rest, factors, null);
    }
    return rest;
  }

  /** q_jᵀ y. */
  public double coordinate(int column, double[] y) {
    double[] own = q[column];
    double s0 = 0;
    double s1 = 0;
    double s2 = 0;
    double s3 = 0;
    int i = 0;
    for (; i + 3 < rows; i += 4) { // four chains: the sum is not bound by the latency of one
      s0 += own[i] * y[i];
      s1 += own[i + 1] * y[i + 1];
      s2 += own[i + 2] * y[i + 2];
      s3 += own[i + 3] * y[i + 3];
    }
    for (; i < rows; i++) {
      s0 += own[i] * y[i];
    }
    return s0 + s1 + (s2 + s3);
  }

  /** Subtracts {@code factor} × column from y in place. */
  public void subtract(int column, double factor, double[] y) {
    double[] own = q[column];
    for (int i = 0; i < rows; i++) {
      y[i] -= factor * own[i];
    }
  }

  /** QᵀDQ for a diagonal D, row-major. */
  double[] weightedProducts(double[] diagonal) {
    double[] products = new double[count * count];
    for (int from = 0; from < count; from += PANEL) {
      double[][] panel = slice(from, Math.min(from + PANEL, count));
      for (int k = 0; k < panel.length; k++) {
        panel[k] = panel[k].clone();
        for (int i = 0; i < rows; i++) {
          panel[k][i] *= diagonal[i];
        }
      }
      double[][] own = Combinations.products(slice(0, count), panel, rows);
      for (int j = 0; j < count; j++) {
        System.arraycopy(own[j], 0, products, j * count + from, panel.length);
      }
    }
    return products;
  }

  /** Solves R x = c by back substitution, in place. */
  public void solveUpper(double[] c) {
    for (int j = count - 1; j >= 0; j--) {
      double[] column = r[j];
      double x = c[j] / column[j];
      c[j] = x;
      for (int i = 0; i < j; i++) {
        c[i] -= column[i] * x;
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
        double[] column = r[j];
        double x = e[j] / column[j];
        e[j] = x;
        inverse[j * size + k] = x;
        for (int i = 0; i < j; i++) {
          e[i] -= column[i] * x;
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

  /** The columns from one to another themselves, not to be changed. */
  double[][] slice(int from, int to) {
    return Arrays.copyOfRange(q, from, to);
  }

  static double norm(double[] v) {
    double s = 0;
    for (double e : v) {
      s += e * e;
    }
    return Math.sqrt(s);
  }
}
