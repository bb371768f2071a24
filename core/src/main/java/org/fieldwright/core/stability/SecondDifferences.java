package org.fieldwright.core.stability;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutorService;
import org.jspecify.annotations.Nullable;

/**
 * Σ (x[i] − 2 x[i+m] + x[i+2m])² for many m in one sweep over x.
 *
 * <p>All m share the row of x that is in the cache, and each row is copied to fixed places first:
 * the compiler makes vector code only of loops whose arrays run on the same index. A row of sums is
 * kept for each m and added up once at the end. With m doubling from one to the next, a row serves
 * twice. A million points and nineteen m take about 6 ms on one core of the machine in
 * bench/README.md, ten times less than a pass for each m written with whole-array operations.
 */
final class SecondDifferences {
  /** Values in a row: 4 KB, so that four rows stay in the nearest cache. */
  private static final int ROW = 512;

  /** Points below which a second thread costs more than it brings. */
  private static final int WORTH_SHARING = 100_000;

  private final double[] x;
  private final int[] m;

  /** Of the phase record x, for these m in increasing order. */
  SecondDifferences(double[] x, int[] m) {
    this.x = x;
    this.m = m;
  }

  /** The sums, by the place of m; shared out over the executor if there is one. */
  double[] sumsOfSquares(@Nullable ExecutorService executor) {
    int rows = (x.length + ROW - 1) / ROW;
    if (executor == null || x.length < WORTH_SHARING) {
      return sweep(0, rows);
    }
    // Later rows have fewer m to serve: even shares would leave the first one working alone.
    int shares = 8;
    List<Callable<double[]>> tasks = new ArrayList<>();
    for (int s = 0; s < shares; s++) {
      int from = (int) ((long) rows * s / shares);
      int to = (int) ((long) rows * (s + 1) / shares);
      tasks.add(() -> sweep(from, to));
    }
    double[] total = new double[m.length];
    for (double[] sums : Parallel.all(tasks, executor)) {
      for (int k = 0; k < total.length; k++) {
        total[k] += sums[k];
      }
    }
    return total;
  }

  private double[] sweep(int fromRow, int toRow) {
    double[][] squares = new double[m.length][ROW];
    double[] first = new double[ROW];
    double[] middle = new double[ROW];
    double[] last = new double[ROW];
    for (int row = fromRow; row < toRow; row++) {
      int i = row * ROW;
      System.arraycopy(x, i, first, 0, Math.min(ROW, x.length - i));
      for (int k = 0; k < m.length; k++) {
        int length = Math.min(ROW, x.length - 2 * m[k] - i);
        if (length <= 0) {
          break;
        }
        if (k > 0 && m[k] == 2 * m[k - 1]) {
          double[] swap = middle;
          middle = last;
          last = swap;
        } else {
          System.arraycopy(x, i + m[k], middle, 0, length);
        }
        System.arraycopy(x, i + 2 * m[k], last, 0, length);
        addSquares(first, middle, last, length, squares[k]);
      }
    }
    return Arrays.stream(squares).mapToDouble(row -> Arrays.stream(row).sum()).toArray();
  }

  private static void addSquares(
      double[] first, double[] middle, double[] last, int length, double[] squares) {
    for (int j = 0; j < length; j++) {
      double d = first[j] - 2 * middle[j] + last[j];
      squares[j] += d * d;
    }
  }
}
