package org.fieldwright.core.stability;

import java.util.Arrays;
import org.fieldwright.core.Vectors;

/**
 * Linear regression on the blocks of a log whose noise is a sum of white, flicker and random-walk
 * noise of unknown sizes.
 *
 * <p>The two ratios of the noises are not estimated but averaged over: for each pair on a grid that
 * runs from "none" to "nothing else", generalised least squares gives coefficients and covariance,
 * and the pair's restricted likelihood gives it a weight (the prior is flat in the logarithm of
 * each ratio, with a lump at none). So the uncertainty also carries what the log cannot tell about
 * its own slow noise, which a straight-line fit leaves out. Covariances of block means follow from
 * the generalised covariances −|h|/2 (random walk) and −ln|h| (flicker) averaged over the blocks;
 * the constant that they leave open is absorbed by the offset, which is always the first column.
 */
final class CorrelatedRegression {
  /** Logarithms of the ratio of slow to white noise, in residual variance over the whole log. */
  private static final double LOWEST_LOG_RATIO = -8;

  private static final double LOG_RATIO_STEP = 2;
  private static final int RATIOS = 9;

  /**
   * Prior probability that a slow noise is too small to matter. Less would widen the uncertainty of
   * a log of white noise, more would narrow that of one with a slow noise just below what can be
   * seen: docs/method/stability.md has the coverage found either way.
   */
  private static final double NONE = 0.8;

  private final Blocks blocks;
  private final double[] logDeterminants = new double[RATIOS * RATIOS];
  private final double[][] factors = new double[RATIOS * RATIOS][];

  /** Prepares the noise of these blocks; a few ms for a hundred. */
  CorrelatedRegression(Blocks blocks) {
    this.blocks = blocks;
    int n = blocks.size();
    double[][] trend = {blocks.column(t -> 1), blocks.column(t -> t)};
    double[] white = new double[n * n];
    for (int i = 0; i < n; i++) {
      white[i * n + i] = 1.0 / blocks.count(i);
    }
    double[] flicker = NoiseCovariance.flicker(blocks);
    double[] walk = NoiseCovariance.randomWalk(blocks);
    normalise(white, trend);
    normalise(flicker, trend);
    normalise(walk, trend);
    double[] sum = new double[n * n];
    for (int g = 0; g < factors.length; g++) {
      double f = ratio(g / RATIOS);
      double r = ratio(g % RATIOS);
      for (int k = 0; k < sum.length; k++) {
        sum[k] = (white[k] + f * flicker[k] + r * walk[k]) / (1 + f + r);
      }
      factors[g] = sum.clone();
      logDeterminants[g] = Dense.cholesky(factors[g], n);
    }
  }

  private static double logPrior(int step) {
    return Math.log(step == 0 ? NONE : (1 - NONE) / (RATIOS - 1));
  }

  private static double ratio(int step) {
    return Math.exp(LOWEST_LOG_RATIO + LOG_RATIO_STEP * step);
  }

  Blocks blocks() {
    return blocks;
  }

  /**
   * Fits the block means.
   *
   * @param columns one value for each block; the first column is the offset, all ones
   */
  Fit fit(double[][] columns) {
    return fit(columns, blocks.means());
  }

  /** Fits other values at the same blocks. */
  Fit fit(double[][] columns, double[] values) {
    int p = columns.length;
    int n = blocks.size();
    if (n <= p) {
      throw new IllegalArgumentException(
          "a fit of " + p + " terms needs more than " + n + " blocks");
    }
    double[][] coefficients = new double[factors.length][];
    double[][] covariances = new double[factors.length][];
    double[] restricted = new double[factors.length];
    double[] scales = new double[factors.length];
    double best = Double.NEGATIVE_INFINITY;
    int bestAt = 0;
    for (int g = 0; g < factors.length; g++) {
      Whitened w = new Whitened(factors[g], columns, values);
      coefficients[g] = w.coefficients;
      covariances[g] = w.covariance;
      scales[g] = w.squares / (n - p);
      double common = -logDeterminants[g] / 2;
      restricted[g] = common - w.logDeterminant / 2 - (n - p) / 2.0 * Math.log(scales[g]);
      restricted[g] += logPrior(g / RATIOS) + logPrior(g % RATIOS);
      double likelihood = common - n / 2.0 * (Math.log(2 * Math.PI * w.squares / n) + 1);
      if (likelihood > best) {
        best = likelihood;
        bestAt = g;
      }
    }
    double[] weights = weights(restricted);
    double flicker = 0;
    double walk = 0;
    for (int g = 0; g < weights.length; g++) {
      double total = 1 + ratio(g / RATIOS) + ratio(g % RATIOS);
      flicker += weights[g] * scales[g] * ratio(g / RATIOS) / total;
      walk += weights[g] * scales[g] * ratio(g % RATIOS) / total;
    }
    Wander wander = new Wander(flicker, walk);
    return average(weights, coefficients, covariances, n - p, best, shares(bestAt), wander);
  }

  private static NoiseShares shares(int g) {
    double f = ratio(g / RATIOS);
    double r = ratio(g % RATIOS);
    double total = 1 + f + r;
    return new NoiseShares(1 / total, f / total, r / total);
  }

  private static double[] weights(double[] logs) {
    double top = Arrays.stream(logs).max().orElseThrow();
    double[] weights = Arrays.stream(logs).map(v -> Math.exp(v - top)).toArray();
    double sum = Arrays.stream(weights).sum();
    return Arrays.stream(weights).map(v -> v / sum).toArray();
  }

  private static Fit average(
      double[] weights,
      double[][] coefficients,
      double[][] covariances,
      int degreesOfFreedom,
      double likelihood,
      NoiseShares shares,
      Wander wander) {
    int p = coefficients[0].length;
    double[] mean = new double[p];
    for (int g = 0; g < weights.length; g++) {
      for (int i = 0; i < p; i++) {
        mean[i] += weights[g] * coefficients[g][i];
      }
    }
    double[] covariance = new double[p * p];
    for (int g = 0; g < weights.length; g++) {
      for (int i = 0; i < p; i++) {
        for (int j = 0; j < p; j++) {
          double between = (coefficients[g][i] - mean[i]) * (coefficients[g][j] - mean[j]);
          covariance[i * p + j] += weights[g] * (covariances[g][i * p + j] + between);
        }
      }
    }
    return new Fit(mean, covariance, degreesOfFreedom, likelihood, shares, wander);
  }

  /** Scales a covariance so that the residuals of a straight line have a mean variance of one. */
  private static void normalise(double[] covariance, double[][] trend) {
    int n = trend[0].length;
    double[] q0 = new double[n];
    double[] q1 = new double[n];
    double centre = Arrays.stream(trend[1]).average().orElse(0);
    double norm = 0;
    for (int i = 0; i < n; i++) {
      norm += Math.pow(trend[1][i] - centre, 2);
    }
    for (int i = 0; i < n; i++) {
      q0[i] = 1 / Math.sqrt(n);
      q1[i] = (trend[1][i] - centre) / Math.sqrt(norm);
    }
    double trace = -quadratic(covariance, q0) - quadratic(covariance, q1);
    for (int i = 0; i < n; i++) {
      trace += covariance[i * n + i];
    }
    double scale = (n - 2) / trace;
    for (int k = 0; k < covariance.length; k++) {
      covariance[k] *= scale;
    }
  }

  private static double quadratic(double[] matrix, double[] v) {
    int n = v.length;
    double sum = 0;
    for (int i = 0; i < n; i++) {
      for (int j = 0; j < n; j++) {
        sum += v[i] * matrix[i * n + j] * v[j];
      }
    }
    return sum;
  }

  /** What a regression gives. */
  static final class Fit {
    private final double[] coefficients;
    private final double[] covariance;
    private final int degreesOfFreedom;
    private final double logLikelihood;
    private final NoiseShares noise;
    private final Wander wander;

    private Fit(
        double[] coefficients,
        double[] covariance,
        int degreesOfFreedom,
        double logLikelihood,
        NoiseShares noise,
        Wander wander) {
      this.coefficients = coefficients;
      this.covariance = covariance;
      this.degreesOfFreedom = degreesOfFreedom;
      this.logLikelihood = logLikelihood;
      this.noise = noise;
      this.wander = wander;
    }

    /** Sizes of the slow noises, averaged over what the log allows. */
    Wander wander() {
      return wander;
    }

    /** Of the i-th column. */
    double coefficient(int i) {
      return coefficients[i];
    }

    /** Standard uncertainty of a coefficient. */
    double uncertainty(int i) {
      return Math.sqrt(covariance[i * coefficients.length + i]);
    }

    /** Of two coefficients. */
    double covariance(int i, int j) {
      return covariance[i * coefficients.length + j];
    }

    /** The largest over the noise ratios, for comparing models on the same blocks. */
    double logLikelihood() {
      return logLikelihood;
    }

    /** Blocks less columns. */
    int degreesOfFreedom() {
      return degreesOfFreedom;
    }

    /** Shares of the noises where the likelihood is largest. */
    NoiseShares noise() {
      return noise;
    }

    /**
     * Schwarz's criterion, by the largest likelihood over the noise ratios, for comparing models on
     * the same blocks; smaller is better.
     *
     * @param extraTerms parameters found by other means than the columns
     */
    double bic(int extraTerms) {
      int blocks = degreesOfFreedom + coefficients.length;
      return -2 * logLikelihood + (coefficients.length + extraTerms) * Math.log(blocks);
    }
  }

  /**
   * Slow noise in the log, as mean variance of its residuals about a straight line, ppm².
   *
   * @param flicker part of it
   * @param walk part of it
   */
  record Wander(double flicker, double walk) {

    /**
     * Variance that it adds to a forecast. A walk of variance q t leaves q T/15 about its straight
     * line over T; flicker grows with the logarithm of time.
     *
     * @param ahead time after the log, in lengths of the log
     */
    double variance(double ahead) {
      return 15 * walk * ahead + 2 * flicker * (1 + Math.log1p(ahead));
    }
  }

  /** Least squares after the noise has been made white. */
  private static final class Whitened {
    private final double[] coefficients;
    private final double[] covariance;
    private final double logDeterminant;
    private final double squares;

    Whitened(double[] factor, double[][] columns, double[] values) {
      int n = values.length;
      int p = columns.length;
      double[][] x = new double[p][];
      double[] scale = new double[p];
      for (int j = 0; j < p; j++) {
        x[j] = Dense.solveLower(factor, n, columns[j]);
        double norm = Math.sqrt(Vectors.dot(x[j], x[j]));
        scale[j] = norm > 0 ? norm : 1;
        for (int i = 0; i < n; i++) {
          x[j][i] /= scale[j];
        }
      }
      double[] y = Dense.solveLower(factor, n, values);
      Dense.LeastSquares solution = Dense.leastSquares(x, y);
      squares = Math.max(solution.squares(), 1e-300);
      coefficients = solution.coefficients();
      covariance = solution.inverseNormal();
      double logs = solution.logDeterminant();
      for (int i = 0; i < p; i++) {
        coefficients[i] /= scale[i];
        logs += 2 * Math.log(scale[i]);
        for (int j = 0; j < p; j++) {
          covariance[i * p + j] *= squares / (n - p) / scale[i] / scale[j];
        }
      }
      logDeterminant = logs;
    }
  }
}
