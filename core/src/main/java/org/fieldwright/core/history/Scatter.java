package org.fieldwright.core.history;

import java.util.Arrays;
import java.util.List;
import java.util.stream.IntStream;
import org.ejml.data.DMatrixRMaj;
import org.ejml.dense.row.factory.DecompositionFactory_DDRM;
import org.ejml.interfaces.decomposition.EigenDecomposition_F64;
import org.hipparchus.distribution.continuous.ChiSquaredDistribution;

/**
 * How much a quantity scatters from visit to visit beyond what is stated of each: a variance τ²
 * that every visit adds of its own.
 *
 * <p>From differences that no slow change reaches (of two visits in a row, or of one from the line
 * through its neighbours), each giving τ² by moments, the mean square being read off the median of
 * χ²; of these the lower median, so that changes of the magnet in fewer than half of them do not
 * pass for scatter.
 *
 * @param variance τ²; 0 where the stated uncertainty is enough
 * @param degreesOfFreedom of the estimate, half of what a mean of squares would have; infinite
 *     where there are too few visits to tell
 */
record Scatter(double variance, double degreesOfFreedom) {
  /** Where there are too few visits to tell: the stated uncertainty stands alone. */
  static final Scatter UNKNOWN = new Scatter(0, Double.POSITIVE_INFINITY);

  private static final double EFFICIENCY = 0.5;
  private static final int HALVINGS = 60;

  /**
   * A difference between visits, in directions in which its components are independent.
   *
   * @param square of each component
   * @param stated variance of each component
   * @param times how often τ² enters each component
   */
  @SuppressWarnings("ArrayRecordComponent") // lives until the scatter is found
  record Difference(double[] square, double[] stated, double times) {
    static Difference of(double difference, double stated, double times) {
      return new Difference(new double[] {difference * difference}, new double[] {stated}, times);
    }

    /** Of components with a covariance. */
    static Difference of(double[] difference, DMatrixRMaj covariance, double times) {
      int p = difference.length;
      EigenDecomposition_F64<DMatrixRMaj> eigen = DecompositionFactory_DDRM.eig(p, true, true);
      if (!eigen.decompose(covariance.copy())) {
        throw new IllegalStateException("a covariance has no eigenvalues");
      }
      double[] square = new double[p];
      double[] stated = new double[p];
      for (int k = 0; k < p; k++) {
        double along = 0;
        for (int i = 0; i < p; i++) {
          along += eigen.getEigenVector(k).get(i) * difference[i];
        }
        square[k] = along * along;
        stated[k] = Math.max(0, eigen.getEigenvalue(k).getReal());
      }
      return new Difference(square, stated, times);
    }

    private double misfit(double variance) {
      double sum = 0;
      for (int i = 0; i < square.length; i++) {
        sum += square[i] / (stated[i] + times * variance);
      }
      return sum;
    }

    /** The τ² with which the misfit is the χ² that such a rank has; by halving. */
    private double excess(double rank) {
      double wanted = new ChiSquaredDistribution(square.length).inverseCumulativeProbability(rank);
      if (misfit(0) <= wanted) {
        return 0;
      }
      double high = Arrays.stream(square).sum() / (times * wanted);
      double low = 0;
      for (int k = 0; k < HALVINGS; k++) {
        double middle = (low + high) / 2;
        if (misfit(middle) > wanted) {
          low = middle;
        } else {
          high = middle;
        }
      }
      return high;
    }
  }

  /**
   * Degrees of freedom of a variance of which a share is this scatter and the rest is stated (Welch
   * and Satterthwaite).
   */
  double degreesOfFreedom(double share) {
    return share > 0 ? degreesOfFreedom / (share * share) : Double.POSITIVE_INFINITY;
  }

  /** From at least {@code least} differences. */
  static Scatter of(List<Difference> differences, int least) {
    if (differences.size() < least) {
      return UNKNOWN;
    }
    int middle = middle(differences.size());
    double rank = rank(differences.size());
    double[] excess = differences.stream().mapToDouble(d -> d.excess(rank)).sorted().toArray();
    int components = differences.stream().mapToInt(d -> d.square.length).sum();
    return new Scatter(excess[middle], EFFICIENCY * components);
  }

  private static int middle(int count) {
    return (count - 1) / 2;
  }

  /** Benard's median rank of the lower median. */
  private static double rank(int count) {
    return (middle(count) + 0.7) / (count + 0.4);
  }

  /** The lower median of misfits, each over the χ² that such a rank has. */
  static double middleRatio(List<Double> misfit, List<Integer> terms) {
    double rank = rank(misfit.size());
    double[] ratio =
        IntStream.range(0, misfit.size())
            .mapToDouble(
                k ->
                    misfit.get(k)
                        / new ChiSquaredDistribution(terms.get(k))
                            .inverseCumulativeProbability(rank))
            .sorted()
            .toArray();
    return ratio[middle(ratio.length)];
  }

  /** The standard deviation per degree, for reports. */
  static double[] deviations(Scatter[] byDegree) {
    return Arrays.stream(byDegree).mapToDouble(s -> Math.sqrt(s.variance)).toArray();
  }

  /** Unknown in every degree up to one. */
  static Scatter[] unknown(int degree) {
    return IntStream.rangeClosed(0, degree).mapToObj(n -> UNKNOWN).toArray(Scatter[]::new);
  }
}
