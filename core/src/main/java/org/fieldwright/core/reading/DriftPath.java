package org.fieldwright.core.reading;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.ejml.data.DMatrixRMaj;
import org.ejml.dense.row.CommonOps_DDRM;
import org.ejml.dense.row.factory.DecompositionFactory_DDRM;
import org.ejml.interfaces.decomposition.CholeskyDecomposition_F64;
import org.fieldwright.core.Vectors;
import org.fieldwright.core.uncertainty.Tails;
import org.jspecify.annotations.Nullable;

/**
 * A drift that bends: straight between the times at which places were visited at least three times
 * over, from least squares with a mean of its own for each place. It stands for the straight line
 * only where it explains the visits so much better that chance would hardly do it (F test).
 */
final class DriftPath {
  /** A pause longer than this share of the whole separates two rounds of visits. */
  private static final double PAUSE = 0.05;

  private static final int FEWEST_KNOTS = 3;
  private static final int MOST_KNOTS = 30;

  /** Chance of taking a straight drift for a bent one. */
  private static final double FALSE_BEND = 1e-3;

  private final double[] knot; // clock
  private final double[] value; // ppm; 0 at the first knot
  private final double[][] error; // by independent error and knot: one standard deviation, ppm
  private final double scatter;

  private DriftPath(double[] knot, double[] value, double[][] error, double scatter) {
    this.knot = knot;
    this.value = value;
    this.error = error;
    this.scatter = scatter;
  }

  /**
   * The path, if it is needed.
   *
   * @param used places and their visits
   * @param straightSquare Σ of squared residuals of the common straight line, ppm²
   * @param readingPpm stated scatter of a reading; below it no residual is believed
   * @return null where too few visits tell, or a straight line does
   */
  static @Nullable DriftPath of(
      List<DriftFit.Visits> used, double straightSquare, @Nullable Double readingPpm) {
    double[] knot = knots(used);
    int bends = knot.length - 1;
    if (knot.length < FEWEST_KNOTS || knot.length > MOST_KNOTS) {
      return null;
    }
    DMatrixRMaj normal = new DMatrixRMaj(bends, bends);
    DMatrixRMaj right = new DMatrixRMaj(bends, 1);
    for (DriftFit.Visits place : used) {
      add(place, knot, normal, right);
    }
    CholeskyDecomposition_F64<DMatrixRMaj> factor = DecompositionFactory_DDRM.chol(bends, true);
    DMatrixRMaj inverse = new DMatrixRMaj(bends, bends);
    if (!CommonOps_DDRM.invert(normal, inverse) || !factor.decompose(inverse.copy())) {
      return null; // a round that no place shares with the others
    }
    DMatrixRMaj found = new DMatrixRMaj(bends, 1);
    CommonOps_DDRM.mult(inverse, right, found);
    double[] value = new double[knot.length];
    System.arraycopy(found.data, 0, value, 1, bends);
    double square = used.stream().mapToDouble(v -> residualSquare(v, knot, value)).sum();
    int free = used.stream().mapToInt(v -> v.count() - 1).sum() - bends;
    double stated = readingPpm == null ? 0 : readingPpm * readingPpm;
    if (free < 1) {
      return null;
    }
    double variance = Math.max(square / free, stated);
    double f = (straightSquare - square) / (bends - 1) / variance;
    if (!(f > 0) || Tails.f(f, bends - 1, free) > FALSE_BEND) {
      return null;
    }
    DMatrixRMaj root = factor.getT(null);
    double[][] error = new double[bends][knot.length];
    for (int k = 0; k < bends; k++) {
      for (int j = 0; j < bends; j++) {
        error[k][j + 1] = Math.sqrt(variance) * root.get(j, k);
      }
    }
    return new DriftPath(knot, value, error, Math.sqrt(square / free));
  }

  /** Mean times of the rounds of visits of places that were visited at least three times. */
  private static double[] knots(List<DriftFit.Visits> used) {
    double[] clock =
        used.stream()
            .filter(v -> v.count() >= FEWEST_KNOTS)
            .flatMapToDouble(v -> Arrays.stream(v.clock()))
            .sorted()
            .toArray();
    List<Double> knots = new ArrayList<>();
    int first = 0;
    for (int i = 1; i <= clock.length; i++) {
      if (i == clock.length
          || clock[i] - clock[i - 1] > PAUSE * (clock[clock.length - 1] - clock[0])) {
        knots.add(Arrays.stream(clock, first, i).average().orElseThrow());
        first = i;
      }
    }
    return knots.stream().mapToDouble(Double::doubleValue).toArray();
  }

  private static void add(
      DriftFit.Visits place, double[] knot, DMatrixRMaj normal, DMatrixRMaj right) {
    int bends = knot.length - 1;
    int visits = place.count();
    double[] value = place.value();
    double meanValue = Arrays.stream(value).average().orElseThrow();
    double[][] hat = new double[visits][];
    double[] mean = new double[knot.length];
    for (int i = 0; i < visits; i++) {
      hat[i] = hats(knot, place.clock()[i]);
      for (int j = 0; j < mean.length; j++) {
        mean[j] += hat[i][j] / visits;
      }
    }
    for (int i = 0; i < visits; i++) {
      for (int j = 0; j < bends; j++) {
        double own = hat[i][j + 1] - mean[j + 1];
        right.add(j, 0, own * (value[i] - meanValue));
        for (int k = 0; k < bends; k++) {
          normal.add(j, k, own * (hat[i][k + 1] - mean[k + 1]));
        }
      }
    }
  }

  private static double residualSquare(DriftFit.Visits place, double[] knot, double[] value) {
    double[] left = place.value().clone();
    for (int i = 0; i < left.length; i++) {
      left[i] -= Vectors.dot(hats(knot, place.clock()[i]), value);
    }
    double mean = Arrays.stream(left).average().orElseThrow();
    return Arrays.stream(left).map(v -> (v - mean) * (v - mean)).sum();
  }

  /** Weights of the knots at a time; beyond the ends the last pieces go on straight. */
  private static double[] hats(double[] knot, double clock) {
    int piece = 0;
    while (piece < knot.length - 2 && clock > knot[piece + 1]) {
      piece++;
    }
    double[] hat = new double[knot.length];
    double share = (clock - knot[piece]) / (knot[piece + 1] - knot[piece]);
    hat[piece] = 1 - share;
    hat[piece + 1] = share;
    return hat;
  }

  /** Ppm since the first knot. */
  double at(double clock) {
    return Vectors.dot(hats(knot, clock), value);
  }

  /** By how much it may be wrong, ppm by time: independent ways, one standard deviation each. */
  List<DriftFit.Pattern> errors() {
    List<DriftFit.Pattern> errors = new ArrayList<>();
    for (double[] one : error) {
      errors.add(clock -> Vectors.dot(hats(knot, clock), one));
    }
    return errors;
  }

  /** Mean rate from the first knot to the last, ppm per unit of the clock. */
  double rate() {
    int last = knot.length - 1;
    return value[last] / (knot[last] - knot[0]);
  }

  double rateUncertainty() {
    int last = knot.length - 1;
    double square = 0;
    for (double[] one : error) {
      square += one[last] * one[last];
    }
    return Math.sqrt(square) / (knot[last] - knot[0]);
  }

  /** Rate of each piece, ppm per unit of the clock. */
  double[] rates() {
    double[] rates = new double[knot.length - 1];
    Arrays.setAll(rates, k -> (value[k + 1] - value[k]) / (knot[k + 1] - knot[k]));
    return rates;
  }

  /** Of one reading about the path, ppm. */
  double scatter() {
    return scatter;
  }
}
