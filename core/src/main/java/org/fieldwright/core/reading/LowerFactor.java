package org.fieldwright.core.reading;

import java.util.Arrays;

/**
 * M = LLᵀ of a positive definite matrix, for matrices of a few hundred rows that are factorised
 * anew over and over: flat arrays by rows, nothing allocated once they have grown.
 *
 * <p>Every sum of products runs along two rows, in tiles of four rows by two: eight sums that do
 * not wait for each other, and six values read for eight products. For rows of this length that is
 * three times as fast as loops that the compiler makes vectors of. Sizes are rounded up to a
 * multiple of four by rows of the unit matrix.
 */
final class LowerFactor {
  private double[] l = new double[0];
  private double[] inverse = new double[0]; // L⁻ᵀ, by rows
  private final double[] sums = new double[8];
  private int n;

  /** Length of a row of a matrix of this size. */
  static int stride(int size) {
    return (size + 3) / 4 * 4;
  }

  /**
   * Makes room for a matrix.
   *
   * @return its elements, by rows of {@link #stride}; zero, to be filled at and below the diagonal
   */
  double[] clear(int size) {
    n = stride(size);
    if (l.length < n * n) {
      l = new double[n * n];
    } else {
      Arrays.fill(l, 0, n * n, 0);
    }
    for (int i = size; i < n; i++) {
      l[i * n + i] = 1;
    }
    return l;
  }

  /** Σ over from ≤ k &lt; to of rows a, a + 1, a + 2, a + 3 times rows b, b + 1, into sums. */
  private void tile(double[] left, int a, double[] right, int b, int from, int to) {
    int a1 = a + n;
    int a2 = a1 + n;
    int a3 = a2 + n;
    int b1 = b + n;
    double s00 = 0;
    double s01 = 0;
    double s10 = 0;
    double s11 = 0;
    double s20 = 0;
    double s21 = 0;
    double s30 = 0;
    double s31 = 0;
    for (int k = from; k < to; k++) {
      double y0 = right[b + k];
      double y1 = right[b1 + k];
      double x0 = left[a + k];
      double x1 = left[a1 + k];
      double x2 = left[a2 + k];
      double x3 = left[a3 + k];
      s00 = Math.fma(x0, y0, s00);
      s01 = Math.fma(x0, y1, s01);
      s10 = Math.fma(x1, y0, s10);
      s11 = Math.fma(x1, y1, s11);
      s20 = Math.fma(x2, y0, s20);
      s21 = Math.fma(x2, y1, s21);
      s30 = Math.fma(x3, y0, s30);
      s31 = Math.fma(x3, y1, s31);
    }
    sums[0] = s00;
    sums[1] = s01;
    sums[2] = s10;
    sums[3] = s11;
    sums[4] = s20;
    sums[5] = s21;
    sums[6] = s30;
    sums[7] = s31;
  }

  /**
   * Subtracts VSVᵀ with a diagonal S.
   *
   * @param v rows of {@link #stride}, as many as the matrix has, of which the first {@code columns}
   *     elements count
   * @param sv the same, times S
   */
  void subtract(double[] v, double[] sv, int columns) {
    for (int i = 0; i < n; i += 4) {
      for (int j = 0; j < i + 4; j += 2) {
        tile(sv, i * n, v, j * n, 0, columns);
        for (int q = 0; q < 4; q++) {
          l[(i + q) * n + j] -= sums[2 * q];
          l[(i + q) * n + j + 1] -= sums[2 * q + 1];
        }
      }
    }
  }

  /** Factorises what was written at and below the diagonal. */
  void factorise() {
    for (int i = 0; i < n; i += 4) {
      for (int j = 0; j < i; j += 2) {
        int r0 = j * n;
        int r1 = r0 + n;
        tile(l, i * n, l, r0, 0, j);
        double p0 = 1 / l[r0 + j];
        double p1 = 1 / l[r1 + j + 1];
        double across = l[r1 + j];
        for (int q = 0; q < 4; q++) {
          int at = (i + q) * n + j;
          double first = (l[at] - sums[2 * q]) * p0;
          l[at] = first;
          l[at + 1] = (l[at + 1] - sums[2 * q + 1] - first * across) * p1;
        }
      }
      corner(i);
    }
  }

  /** The four by four on the diagonal. */
  private void corner(int i) {
    for (int r = i; r < i + 4; r++) {
      for (int c = i; c <= r; c++) {
        double s = l[r * n + c];
        for (int k = 0; k < c; k++) {
          s -= l[r * n + k] * l[c * n + k];
        }
        l[r * n + c] = c == r ? Math.sqrt(s) : s / l[c * n + c];
      }
    }
  }

  /** Replaces v, of {@link #stride} elements, by L⁻¹v: its square is vᵀM⁻¹v. */
  void forward(double[] v) {
    for (int i = 0; i < n; i += 4) {
      int r0 = i * n;
      int r1 = r0 + n;
      int r2 = r1 + n;
      int r3 = r2 + n;
      double s0 = v[i];
      double s1 = v[i + 1];
      double s2 = v[i + 2];
      double s3 = v[i + 3];
      for (int k = 0; k < i; k++) {
        double z = -v[k];
        s0 = Math.fma(l[r0 + k], z, s0);
        s1 = Math.fma(l[r1 + k], z, s1);
        s2 = Math.fma(l[r2 + k], z, s2);
        s3 = Math.fma(l[r3 + k], z, s3);
      }
      s0 /= l[r0 + i];
      s1 = (s1 - l[r1 + i] * s0) / l[r1 + i + 1];
      s2 = (s2 - l[r2 + i] * s0 - l[r2 + i + 1] * s1) / l[r2 + i + 2];
      s3 -= l[r3 + i] * s0 + l[r3 + i + 1] * s1 + l[r3 + i + 2] * s2;
      v[i] = s0;
      v[i + 1] = s1;
      v[i + 2] = s2;
      v[i + 3] = s3 / l[r3 + i + 3];
    }
  }

  /** Replaces z by L⁻ᵀz. */
  void backward(double[] z) {
    for (int i = n - 1; i >= 0; i--) {
      int row = i * n;
      double x = z[i] / l[row + i];
      z[i] = x;
      for (int k = 0; k < i; k++) {
        z[k] -= x * l[row + k];
      }
    }
  }

  /** The diagonal of M⁻¹: the squares of the columns of L⁻¹, which are formed as rows. */
  void inverseDiagonal(double[] out) {
    if (inverse.length < n * n) {
      inverse = new double[n * n];
    }
    double[] w = inverse;
    for (int j = 0; j < n; j += 4) {
      for (int i = j; i < n; i += 2) {
        int r0 = i * n;
        int r1 = r0 + n;
        tile(w, j * n, l, r0, j, i);
        double p0 = 1 / l[r0 + i];
        double p1 = 1 / l[r1 + i + 1];
        for (int q = 0; q < 4; q++) {
          double first = ((i == j + q ? 1 : 0) - sums[2 * q]) * p0;
          double second = (i + 1 == j + q ? 1 : 0) - sums[2 * q + 1] - l[r1 + i] * first;
          w[(j + q) * n + i] = first;
          w[(j + q) * n + i + 1] = second * p1;
        }
      }
      for (int q = j; q < j + 4; q++) {
        double sum = 0;
        for (int i = j; i < n; i++) {
          sum += w[q * n + i] * w[q * n + i];
        }
        out[q] = sum;
      }
    }
  }
}
