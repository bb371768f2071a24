package org.fieldwright.core.correction;

import org.ejml.data.DMatrixRMaj;
import org.ejml.dense.row.CommonOps_DDRM;
import org.fieldwright.core.Vectors;

/**
 * Generalised least squares of a measured change on predicted ones, a factor for each kind of
 * piece: minimise (y − X s)ᵀ W (y − X s) + Σ ((s_k − 1)/σ_k)², W the inverse covariance.
 */
final class StrengthFit {
  private final DMatrixRMaj weight;
  private final double[] measured;
  private final double[] priorPrecision;
  private final double square; // yᵀ W y

  /** Factors, their covariance, and the least value of the sum of squares. */
  @SuppressWarnings("ArrayRecordComponent") // read, never compared
  record Result(double[] factors, DMatrixRMaj covariance, double misfit) {}

  /**
   * @param weight inverse covariance of the measured change
   * @param priorPrecision 1/σ² of each factor about 1; 0 where nothing is known beforehand
   */
  StrengthFit(DMatrixRMaj weight, double[] measured, double[] priorPrecision) {
    this.weight = weight;
    this.measured = measured;
    this.priorPrecision = priorPrecision;
    this.square = Vectors.dot(measured, times(measured));
  }

  int size() {
    return measured.length;
  }

  /** W v. */
  double[] times(double[] v) {
    int n = v.length;
    double[] out = new double[n];
    for (int i = 0; i < n; i++) {
      double sum = 0;
      for (int j = 0; j < n; j++) {
        sum += weight.data[i * n + j] * v[j];
      }
      out[i] = sum;
    }
    return out;
  }

  /**
   * @param predicted a column for each kind of piece; further columns after them are free, without
   *     prior
   */
  Result fit(double[][] predicted) {
    return fit(predicted, measured, square);
  }

  /**
   * The same where part of the change is known.
   *
   * @param known taken off what was measured
   */
  Result fit(double[][] predicted, double[] known) {
    double[] rest = measured.clone();
    Vectors.add(rest, -1, known);
    return fit(predicted, rest, Vectors.dot(rest, times(rest)));
  }

  private Result fit(double[][] predicted, double[] found, double square) {
    int k = predicted.length;
    DMatrixRMaj normal = new DMatrixRMaj(k, k);
    DMatrixRMaj right = new DMatrixRMaj(k, 1);
    double misfit = square;
    for (int a = 0; a < k; a++) {
      double[] wx = times(predicted[a]);
      for (int b = 0; b < k; b++) {
        normal.set(a, b, Vectors.dot(wx, predicted[b]));
      }
      double prior = a < priorPrecision.length ? priorPrecision[a] : 0;
      normal.add(a, a, prior);
      right.set(a, 0, Vectors.dot(wx, found) + prior);
      misfit += prior;
    }
    DMatrixRMaj covariance = new DMatrixRMaj(k, k);
    DMatrixRMaj factors = new DMatrixRMaj(k, 1);
    if (k > 0 && CommonOps_DDRM.invert(normal, covariance)) {
      CommonOps_DDRM.mult(covariance, right, factors);
    }
    for (int a = 0; a < k; a++) {
      misfit -= factors.get(a, 0) * right.get(a, 0);
    }
    return new Result(factors.data.clone(), covariance, Math.max(0, misfit));
  }
}
