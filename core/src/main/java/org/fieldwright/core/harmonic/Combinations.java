package org.fieldwright.core.harmonic;

/**
 * Linear combinations and inner products of vectors, written so that the compiler turns the loops
 * into SIMD, which it does for sums of vectors and not for sums of products.
 */
final class Combinations {
  /** So many rows of some dozens of vectors stay in the processor's second cache. */
  private static final int CHUNK = 256;

  private Combinations() {}

  /**
   * y += Σ factor_k · x_k over the first {@code count}; four at a time: eight were half as fast.
   */
  static void addCombination(double[] y, double[] factor, double[][] x, int count, int length) {
    for (int k = 0; k < count; k += 4) {
      addFew(y, factor, k, x, k, Math.min(4, count - k), 0, length);
    }
  }

  /** a · b over the first places, in four chains that do not wait for each other. */
  static double product(double[] a, double[] b, int length) {
    double s0 = 0;
    double s1 = 0;
    double s2 = 0;
    double s3 = 0;
    int i = 0;
    for (; i + 3 < length; i += 4) {
      s0 += a[i] * b[i];
      s1 += a[i + 1] * b[i + 1];
      s2 += a[i + 2] * b[i + 2];
      s3 += a[i + 3] * b[i + 3];
    }
    for (; i < length; i++) {
      s0 += a[i] * b[i];
    }
    return s0 + s1 + (s2 + s3);
  }

  /** x_k · y over the first {@code count}. */
  static double[] products(double[] y, double[][] x, int count, int length) {
    double[] c = new double[count];
    int k = 0;
    for (; k + 3 < count; k += 4) {
      putFourProducts(c, k, y, x, length);
    }
    for (; k < count; k++) {
      double[] own = x[k];
      for (int i = 0; i < length; i++) {
        c[k] += own[i] * y[i];
      }
    }
    return c;
  }

  private static void putFourProducts(double[] c, int k, double[] y, double[][] x, int length) {
    double[] x0 = x[k];
    double[] x1 = x[k + 1];
    double[] x2 = x[k + 2];
    double[] x3 = x[k + 3];
    double c0 = 0;
    double c1 = 0;
    double c2 = 0;
    double c3 = 0;
    for (int i = 0; i < length; i++) { // four chains, which do not wait for each other
      double a = y[i];
      c0 += a * x0[i];
      c1 += a * x1[i];
      c2 += a * x2[i];
      c3 += a * x3[i];
    }
    c[k] = c0;
    c[k + 1] = c1;
    c[k + 2] = c2;
    c[k + 3] = c3;
  }

  /**
   * Takes orthonormal vectors off others: y_k −= Σ_j (x_j · y_k) x_j. Each x is read once for all
   * of them, a few rows at a time.
   *
   * @param factors to which x_j · y_k is added, by k, then j
   */
  static void project(double[][] x, double[][] y, double[][] factors, int length) {
    double[][] products = products(x, y, length);
    double[][] off = new double[y.length][x.length];
    for (int k = 0; k < y.length; k++) {
      for (int j = 0; j < x.length; j++) {
        factors[k][j] += products[j][k];
        off[k][j] = -products[j][k];
      }
    }
    for (int from = 0; from < length; from += CHUNK) {
      int to = Math.min(from + CHUNK, length);
      for (int j = 0; j < x.length; j += 4) {
        for (int k = 0; k < y.length; k++) {
          addFew(y[k], off[k], j, x, j, Math.min(4, x.length - j), from, to);
        }
      }
    }
  }

  /** x_j · y_k by j, then k: as sums of the rows of y, which lie along SIMD once transposed. */
  static double[][] products(double[][] x, double[][] y, int length) {
    double[][] products = new double[x.length][y.length];
    double[][] row = new double[CHUNK][y.length];
    for (int from = 0; from < length; from += CHUNK) {
      int rows = Math.min(CHUNK, length - from);
      for (int k = 0; k < y.length; k++) {
        for (int i = 0; i < rows; i++) {
          row[i][k] = y[k][from + i];
        }
      }
      for (int j = 0; j < x.length; j++) {
        for (int i = 0; i < rows; i += 4) {
          addFew(products[j], x[j], from + i, row, i, Math.min(4, rows - i), 0, y.length);
        }
      }
    }
    return products;
  }

  /**
   * y_i += sign · Σ_k factor_ki x_k over some i, k and places: a product of matrices by rows, a few
   * places at a time that stay in the processor's cache.
   *
   * @param factor by k, then i
   */
  static void addProducts(
      double[][] y,
      int fromY,
      int toY,
      double sign,
      double[][] factor,
      double[][] x,
      int fromX,
      int toX,
      int from,
      int to) {
    double[] four = new double[4];
    for (int start = from; start < to; start += CHUNK) {
      int end = Math.min(start + CHUNK, to);
      for (int k = fromX; k < toX; k += 4) {
        int few = Math.min(4, toX - k);
        for (int i = fromY; i < toY; i++) {
          for (int q = 0; q < few; q++) {
            four[q] = sign * factor[k + q][i];
          }
          addFew(y[i], four, 0, x, k, few, start, end);
        }
      }
    }
  }

  /** y += Σ factor_(f+k) · x_(j+k) over the first few k and the places from one to another. */
  private static void addFew(
      double[] y, double[] factor, int f, double[][] x, int j, int few, int from, int to) {
    if (few == 4) {
      addFour(y, factor, f, x, j, from, to);
      return;
    }
    for (int k = 0; k < few; k++) {
      double times = factor[f + k];
      double[] own = x[j + k];
      for (int i = from; i < to; i++) {
        y[i] += times * own[i];
      }
    }
  }

  static void addFour(double[] y, double[] factor, int f, double[][] x, int j, int from, int to) {
    double f0 = factor[f];
    double f1 = factor[f + 1];
    double f2 = factor[f + 2];
    double f3 = factor[f + 3];
    double[] x0 = x[j];
    double[] x1 = x[j + 1];
    double[] x2 = x[j + 2];
    double[] x3 = x[j + 3];
    for (int i = from; i < to; i++) {
      y[i] += f0 * x0[i] + f1 * x1[i] + f2 * x2[i] + f3 * x3[i];
    }
  }
}
