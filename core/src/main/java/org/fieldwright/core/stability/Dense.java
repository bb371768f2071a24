package org.fieldwright.core.stability;

import org.fieldwright.core.Vectors;

/** Small dense algebra on flat arrays, for systems that are solved some hundred times in a row. */
final class Dense {

  /** What is left of a unit column that is a combination of others, by rounding. */
  private static final double DEPENDENT = 1e-13;

  private Dense() {}

  /**
   * Replaces a positive definite matrix by its lower Cholesky factor; gives ln of the determinant.
   */
  static double cholesky(double[] a, int n) {
    double logs = 0;
    for (int j = 0; j < n; j++) {
      for (int i = j; i < n; i++) {
        double sum = a[i * n + j];
        for (int k = 0; k < j; k++) {
          sum -= a[i * n + k] * a[j * n + k];
        }
        if (i == j) {
          if (!(sum > 0)) {
            throw new IllegalArgumentException("the matrix is not positive definite");
          }
          a[j * n + j] = Math.sqrt(sum);
          logs += Math.log(sum);
        } else {
          a[i * n + j] = sum / a[j * n + j];
        }
      }
    }
    return logs;
  }

  /** L⁻¹ v. */
  static double[] solveLower(double[] factor, int n, double[] v) {
    double[] x = v.clone();
    for (int i = 0; i < n; i++) {
      double sum = x[i];
      for (int k = 0; k < i; k++) {
        sum -= factor[i * n + k] * x[k];
      }
      x[i] = sum / factor[i * n + i];
    }
    return x;
  }

  /**
   * Least squares by orthogonalisation (modified Gram–Schmidt, twice over, as stable as
   * Householder's; Å. Björck, Numerical Methods for Least Squares Problems, section 2.4).
   *
   * @param columns of unit length; overwritten by an orthonormal basis. One that depends on those
   *     before it gets the coefficient 0
   * @param y overwritten by the residual
   */
  static LeastSquares leastSquares(double[][] columns, double[] y) {
    int p = columns.length;
    double[] r = new double[p * p];
    double[] z = new double[p];
    double logs = 0;
    for (int j = 0; j < p; j++) {
      for (int pass = 0; pass < 2; pass++) {
        for (int k = 0; k < j; k++) {
          r[k * p + j] += removePart(columns[j], columns[k]);
        }
      }
      double norm = Math.sqrt(Vectors.dot(columns[j], columns[j]));
      boolean dependent = !(norm > DEPENDENT);
      r[j * p + j] = dependent ? Double.POSITIVE_INFINITY : norm;
      logs += dependent ? 0 : 2 * Math.log(norm);
      for (int i = 0; i < y.length; i++) {
        columns[j][i] = dependent ? 0 : columns[j][i] / norm;
      }
    }
    for (int pass = 0; pass < 2; pass++) {
      for (int j = 0; j < p; j++) {
        z[j] += removePart(y, columns[j]);
      }
    }
    double[] inverse = invertUpper(r, p);
    return new LeastSquares(
        multiply(inverse, z), timesTranspose(inverse, p), logs, Vectors.dot(y, y));
  }

  /** Takes the part along a unit vector out of v and gives its length. */
  private static double removePart(double[] v, double[] unit) {
    double part = Vectors.dot(v, unit);
    for (int i = 0; i < v.length; i++) {
      v[i] -= part * unit[i];
    }
    return part;
  }

  private static double[] invertUpper(double[] r, int p) {
    double[] inverse = new double[p * p];
    for (int j = 0; j < p; j++) {
      inverse[j * p + j] = 1 / r[j * p + j];
      for (int i = j - 1; i >= 0; i--) {
        double sum = 0;
        for (int k = i + 1; k <= j; k++) {
          sum += r[i * p + k] * inverse[k * p + j];
        }
        inverse[i * p + j] = -sum / r[i * p + i];
      }
    }
    return inverse;
  }

  private static double[] multiply(double[] matrix, double[] v) {
    int p = v.length;
    double[] result = new double[p];
    for (int i = 0; i < p; i++) {
      for (int j = 0; j < p; j++) {
        result[i] += matrix[i * p + j] * v[j];
      }
    }
    return result;
  }

  private static double[] timesTranspose(double[] matrix, int p) {
    double[] result = new double[p * p];
    for (int i = 0; i < p; i++) {
      for (int j = 0; j < p; j++) {
        for (int k = Math.max(i, j); k < p; k++) {
          result[i * p + j] += matrix[i * p + k] * matrix[j * p + k];
        }
      }
    }
    return result;
  }

  /** A least-squares solution. Its arrays are the caller's to change. */
  static final class LeastSquares {
    private final double[] coefficients;
    private final double[] inverseNormal;
    private final double logDeterminant;
    private final double squares;

    private LeastSquares(
        double[] coefficients, double[] inverseNormal, double logDeterminant, double squares) {
      this.coefficients = coefficients;
      this.inverseNormal = inverseNormal;
      this.logDeterminant = logDeterminant;
      this.squares = squares;
    }

    double[] coefficients() {
      return coefficients;
    }

    /** (XᵀX)⁻¹, row-major. */
    double[] inverseNormal() {
      return inverseNormal;
    }

    /** ln det XᵀX. */
    double logDeterminant() {
      return logDeterminant;
    }

    /** Sum of squared residuals. */
    double squares() {
      return squares;
    }
  }
}
