package org.fieldwright.core.harmonic;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.SplittableRandom;
import org.hipparchus.linear.MatrixUtils;
import org.hipparchus.linear.RealMatrix;
import org.hipparchus.linear.RealVector;
import org.junit.jupiter.api.Test;

/**
 * Against the same least squares solved at once: the normal equations with the prior's precision on
 * their diagonal, by Hipparchus.
 */
class RecursiveFitTest {
  private static final int TERMS = 9;
  private static final int ROWS = 30;

  private final SplittableRandom random = new SplittableRandom(20261125);
  private final double[][] x = gaussian(ROWS, TERMS);
  private final double[][] y = gaussian(2, ROWS);
  private final double[] prior = new double[TERMS];
  private final boolean[] out = new boolean[ROWS];

  private double[][] gaussian(int rows, int columns) {
    double[][] a = new double[rows][columns];
    for (double[] row : a) {
      for (int k = 0; k < columns; k++) {
        row[k] = random.nextGaussian();
      }
    }
    return a;
  }

  private RecursiveFit fed() {
    for (int k = 0; k < TERMS; k++) {
      prior[k] = 100.0 / (k + 1);
    }
    RecursiveFit fit = new RecursiveFit(prior, 2);
    for (int first = 0; first < ROWS; first += 6) {
      double[][] rows = java.util.Arrays.copyOfRange(x, first, first + 6);
      fit.add(
          rows,
          new double[][] {
            java.util.Arrays.copyOfRange(y[0], first, first + 6),
            java.util.Arrays.copyOfRange(y[1], first, first + 6)
          });
    }
    return fit;
  }

  /** Residuals, leverages and the size of the patterns, from scratch. */
  private void assertSame(RecursiveFit fit, double[]... patterns) {
    int unknowns = TERMS + patterns.length;
    RealMatrix design = MatrixUtils.createRealMatrix(ROWS, unknowns);
    RealMatrix precision = MatrixUtils.createRealMatrix(unknowns, unknowns);
    for (int i = 0; i < ROWS; i++) {
      for (int k = 0; k < unknowns; k++) {
        design.setEntry(i, k, k < TERMS ? x[i][k] : patterns[k - TERMS][i]);
      }
    }
    for (int k = 0; k < TERMS; k++) {
      precision.setEntry(k, k, 1 / prior[k]);
    }
    RealMatrix used = design.copy();
    for (int i = 0; i < ROWS; i++) {
      for (int k = 0; k < unknowns; k++) {
        used.setEntry(i, k, out[i] ? 0 : design.getEntry(i, k));
      }
    }
    RealMatrix covariance = MatrixUtils.inverse(used.transpose().multiply(used).add(precision));
    for (int s = 0; s < 2; s++) {
      RealVector estimate =
          covariance.operate(used.transpose().operate(MatrixUtils.createRealVector(y[s])));
      RealVector predicted = design.operate(estimate);
      for (int i = 0; i < ROWS; i++) {
        assertThat(fit.residual(i, s)).isCloseTo(y[s][i] - predicted.getEntry(i), within(1e-10));
      }
      for (int k = 0; k < patterns.length; k++) {
        assertThat(fit.size(k, s)).isCloseTo(estimate.getEntry(TERMS + k), within(1e-10));
        assertThat(fit.sizeVariance(k))
            .isCloseTo(covariance.getEntry(TERMS + k, TERMS + k), within(1e-10));
      }
      for (int k = 0; k < TERMS; k++) {
        assertThat(fit.estimate(s)[k]).isCloseTo(estimate.getEntry(k), within(1e-10));
      }
    }
    RealMatrix hat = design.multiply(covariance).multiply(design.transpose());
    for (int i = 0; i < ROWS; i++) {
      double variance = out[i] ? 1 + hat.getEntry(i, i) : 1 - hat.getEntry(i, i);
      assertThat(fit.residualVariance(i)).isCloseTo(variance, within(1e-10));
    }
  }

  @Test
  void blocksAddUp() {
    assertSame(fed());
  }

  @Test
  void rowsLeaveReturnAndChange() {
    RecursiveFit fit = fed();
    for (int row : new int[] {3, 17, 18, 29}) {
      fit.setLeftOut(row, true);
      out[row] = true;
    }
    assertSame(fit);
    fit.setLeftOut(17, false);
    out[17] = false;
    y[0][17] = 5;
    y[1][17] = -2;
    fit.replace(17, new double[] {5, -2});
    y[0][3] = 1;
    fit.replace(3, new double[] {1, y[1][3]});
    assertSame(fit);
  }

  @Test
  void patternsAreFreedAndBound() {
    RecursiveFit fit = fed();
    fit.setLeftOut(4, true);
    out[4] = true;
    double[] first = gaussian(1, ROWS)[0];
    double[] second = new double[ROWS];
    for (int i = 0; i < 6; i++) {
      second[i] = 1;
    }
    fit.free(first);
    fit.free(second);
    assertSame(fit, first, second);
    fit.setLeftOut(9, true);
    out[9] = true;
    assertSame(fit, first, second);
    fit.bind(0);
    assertSame(fit, second);
    fit.bind(0);
    assertSame(fit);
  }

  /** The remainder of a pattern is the reciprocal of the variance its size will have. */
  @Test
  void remainderForetellsTheVariance() {
    RecursiveFit fit = fed();
    double[] pattern = gaussian(1, ROWS)[0];
    double remainder = fit.remainder(pattern);
    assertThat(fit.sizeVariance(fit.free(pattern))).isCloseTo(1 / remainder, within(1e-12));
  }

  /** A pattern does not touch rows that come later; they still sharpen it through the terms. */
  @Test
  void rowsAfterAPatternAreFreeOfIt() {
    RecursiveFit fit = new RecursiveFit(new double[] {4}, 1);
    fit.add(new double[][] {{1}, {1}}, new double[][] {{3, 3}});
    fit.free(new double[] {1, 1});
    fit.add(new double[][] {{1}}, new double[][] {{2}});
    // By hand: the first two readings only tell term + pattern, so the term is 2·4/(4 + 1).
    assertThat(fit.estimate(0)[0]).isCloseTo(1.6, within(1e-12));
    assertThat(fit.size(0, 0)).isCloseTo(1.4, within(1e-12));
  }
}
