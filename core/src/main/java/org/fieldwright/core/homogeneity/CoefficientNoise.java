package org.fieldwright.core.homogeneity;

import java.util.SplittableRandom;
import org.fieldwright.core.harmonic.Covariance;

/**
 * Normal noise of a given covariance, drawn through its Cholesky factor. Semi-definite matrices are
 * served (terms the sampling cannot see have no row): a pivot that is nothing but rounding gives a
 * zero column.
 */
public final class CoefficientNoise {
  private static final double ROUNDING = 1e-12;

  private final int size;
  private final double[] lower; // packed rows

  public CoefficientNoise(Covariance covariance) {
    size = covariance.size();
    lower = new double[size * (size + 1) / 2];
    for (int i = 0; i < size; i++) {
      int row = i * (i + 1) / 2;
      for (int j = 0; j <= i; j++) {
        int other = j * (j + 1) / 2;
        double sum = covariance.at(i, j);
        for (int k = 0; k < j; k++) {
          sum -= lower[row + k] * lower[other + k];
        }
        if (i == j) {
          lower[row + j] = sum > ROUNDING * covariance.at(i, i) ? Math.sqrt(sum) : 0;
        } else {
          double pivot = lower[other + j];
          lower[row + j] = pivot > 0 ? sum / pivot : 0;
        }
      }
    }
  }

  /** Writes one draw, by term index. */
  public void draw(SplittableRandom random, double[] out) {
    double[] normal = new double[size];
    for (int i = 0; i < size; i++) {
      normal[i] = random.nextGaussian();
    }
    for (int i = 0; i < size; i++) {
      int row = i * (i + 1) / 2;
      double sum = 0;
      for (int k = 0; k <= i; k++) {
        sum += lower[row + k] * normal[k];
      }
      out[i] = sum;
    }
  }
}
