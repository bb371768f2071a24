package org.fieldwright.core.reading;

import java.util.Arrays;
import org.fieldwright.core.harmonic.FitResiduals;

/** How much the readings scatter about a fit: standard deviation of one of weight one, ppm. */
final class ResidualScatter {
  private final double least;

  /**
   * @param readingPpm what is stated for a reading; 0 where nothing is
   */
  ResidualScatter(double readingPpm) {
    // A reading closer than this to the fit is no fault, however quiet its neighbours.
    least = Math.max(1e-3, 0.5 * readingPpm);
  }

  /** By the median of the standardised residuals: gross errors do not matter. */
  double robust(FitResiduals fit) {
    double[] scores = new double[fit.rows()];
    int count = 0;
    for (int i = 0; i < fit.rows(); i++) {
      double redundancy = fit.redundancy(i);
      if (!fit.isSetAside(i) && redundancy > 0.02) {
        scores[count++] = Math.abs(fit.residual(i)) / Math.sqrt(redundancy);
      }
    }
    double mad = 1.4826 * DriftFit.median(Arrays.copyOf(scores, count));
    return Double.isNaN(mad) ? plain(fit) : Math.max(mad, least);
  }

  /** By the sum of squares over the degrees of freedom. */
  double plain(FitResiduals fit) {
    int dof = fit.degreesOfFreedom();
    return dof < 1 ? least : Math.max(least, Math.sqrt(fit.residualSumOfSquares() / dof));
  }
}
