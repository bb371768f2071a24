package org.fieldwright.core.uncertainty;

import java.util.Arrays;
import java.util.SplittableRandom;

/**
 * Propagation of distributions by the adaptive procedure of JCGM 101:2008, 7.9: batches are drawn
 * until the batch means, standard deviations and interval ends agree among themselves to the wanted
 * tolerance (twice the standard deviation of their average), or the batches run out. Seeded, so the
 * same question has the same answer.
 */
public final class AdaptiveMonteCarlo {
  private static final double COVERAGE = 0.95;

  /** Writes one batch of output values. Values may depend on each other within a batch only. */
  @FunctionalInterface
  public interface Draws {
    void fill(SplittableRandom random, double[] batch);
  }

  /**
   * What the draws say.
   *
   * @param mean of the output
   * @param standardUncertainty standard deviation of the output
   * @param interval probabilistically symmetric 95 % coverage interval
   * @param draws how many it took
   * @param settled whether the tolerance was reached
   */
  public record Outcome(
      double mean, double standardUncertainty, Interval interval, int draws, boolean settled) {}

  private final long seed;
  private final int batchSize;
  private final int mostBatches;

  /**
   * An experiment.
   *
   * @param batchSize draws between two checks; JCGM 101 asks for 10 000 where each costs little
   * @param mostBatches at least 2
   */
  public AdaptiveMonteCarlo(long seed, int batchSize, int mostBatches) {
    this.seed = seed;
    this.batchSize = batchSize;
    this.mostBatches = mostBatches;
  }

  /**
   * Draws until settled.
   *
   * @param tolerance in the unit of the output, for the mean, its standard uncertainty and both
   *     ends
   */
  public Outcome run(Draws draws, double tolerance) {
    SplittableRandom random = new SplittableRandom(seed);
    double[] all = new double[0];
    double[] batch = new double[batchSize];
    double[] sums = new double[4];
    double[] squares = new double[4];
    boolean settled = false;
    for (int h = 1; h <= mostBatches && !settled; h++) {
      draws.fill(random, batch);
      all = Arrays.copyOf(all, h * batchSize);
      System.arraycopy(batch, 0, all, (h - 1) * batchSize, batchSize);
      double[] found = summary(batch.clone());
      settled = h > 1;
      for (int k = 0; k < found.length; k++) {
        sums[k] += found[k];
        squares[k] += found[k] * found[k];
        double variance = h > 1 ? (squares[k] - sums[k] * sums[k] / h) / (h - 1) / h : 0;
        settled &= 2 * Math.sqrt(Math.max(0, variance)) <= tolerance;
      }
    }
    double[] s = summary(all);
    return new Outcome(s[0], s[1], new Interval(s[2], s[3]), all.length, settled);
  }

  /** Mean, standard deviation and interval ends; sorts its argument. */
  private static double[] summary(double[] values) {
    double mean = 0;
    for (double v : values) {
      mean += v / values.length;
    }
    double square = 0;
    for (double v : values) {
      square += (v - mean) * (v - mean);
    }
    Arrays.sort(values);
    return new double[] {
      mean,
      Math.sqrt(square / (values.length - 1)),
      quantile(values, (1 - COVERAGE) / 2),
      quantile(values, (1 + COVERAGE) / 2)
    };
  }

  private static double quantile(double[] sorted, double p) {
    double place = p * (sorted.length - 1);
    int below = (int) place;
    int above = Math.min(below + 1, sorted.length - 1);
    return sorted[below] + (place - below) * (sorted[above] - sorted[below]);
  }
}
