package org.fieldwright.core.stability;

import java.util.ArrayDeque;
import java.util.Deque;
import org.jspecify.annotations.Nullable;

/**
 * What the field does now, while it is recorded: the last stretch of time in blocks of means, by
 * the regression under correlated noise that a whole log goes through. What it holds does not grow
 * with time.
 *
 * <p>For one thread.
 */
public final class LiveTrend {
  private static final int BLOCKS = 40;
  private static final int FEWEST_BLOCKS = 5;
  private static final double SECONDS_PER_HOUR = 3600;

  /** The current counts as changing where it does by more than this part of the largest. */
  private static final double CHANGE = 1e-3;

  /** A rate less certain than this many standard uncertainties says nothing of when. */
  private static final double CERTAIN = 3;

  private final double width;
  private final Deque<Bin> bins = new ArrayDeque<>();
  private double last = Double.NEGATIVE_INFINITY;

  /**
   * @param spanSeconds how far back the trend looks
   */
  public LiveTrend(double spanSeconds) {
    width = spanSeconds / BLOCKS;
  }

  private static final class Bin {
    private final long number;
    private final double from;
    private double to;
    private double times;
    private double values;
    private double currents;
    private int count;

    Bin(long number, double from) {
      this.number = number;
      this.from = from;
    }
  }

  /**
   * Adds a sample; one that is no later than the one before is left out.
   *
   * @param seconds since any moment, the same for all
   * @param ppm of any field, the same for all; NaN if there was no lock
   * @param current of the magnet, A; NaN if not read
   */
  public void add(double seconds, double ppm, double current) {
    if (Double.isNaN(ppm) || !(seconds > last)) {
      return;
    }
    long number = (long) Math.floor(seconds / width);
    Bin bin = bins.peekLast();
    if (bin == null || bin.number != number) {
      bin = new Bin(number, seconds);
      bins.add(bin);
      while (bins.getFirst().number <= number - BLOCKS) {
        bins.removeFirst();
      }
    }
    bin.to = seconds;
    bin.times += seconds;
    bin.values += ppm;
    bin.currents += current;
    bin.count++;
    last = seconds;
  }

  /** Rate of the field, ppm/h; null while there is too little to tell. */
  public @Nullable Estimate ratePpmPerHour() {
    CorrelatedRegression.Fit fit = line();
    return fit == null ? null : new Estimate(fit.coefficient(1), fit.uncertainty(1));
  }

  /** Change of the field by ampere, ppm/A; null if the current is not read or stands still. */
  public @Nullable Estimate ppmPerAmpere() {
    double[] current = bins.stream().mapToDouble(b -> b.currents / b.count).toArray();
    double least = Double.POSITIVE_INFINITY;
    double most = Double.NEGATIVE_INFINITY;
    for (double a : current) {
      least = Math.min(least, a);
      most = Math.max(most, a);
    }
    double largest = Math.max(Math.abs(least), Math.abs(most));
    if (bins.size() < FEWEST_BLOCKS || !(most - least > CHANGE * largest)) {
      return null; // NaN too
    }
    Blocks blocks = blocks();
    CorrelatedRegression.Fit fit =
        new CorrelatedRegression(blocks).fit(new double[][] {blocks.column(t -> 1), current});
    return new Estimate(fit.coefficient(1), fit.uncertainty(1));
  }

  /**
   * Time from the last sample until the field is there if it goes on like this, hours; its
   * uncertainty is that of rate and field (JCGM 100:2008, 5.2), and leaves out that the rate may
   * change. Null if the rate is not certain or leads away.
   *
   * @param ppm of the same field as the samples
   */
  public @Nullable Estimate hoursTo(double ppm) {
    CorrelatedRegression.Fit fit = line();
    if (fit == null) {
      return null;
    }
    double rate = fit.coefficient(1);
    double since = (last - middle()) / SECONDS_PER_HOUR;
    double missing = ppm - (fit.coefficient(0) + rate * since);
    double hours = missing / rate;
    if (!(Math.abs(rate) > CERTAIN * fit.uncertainty(1)) || !(hours >= 0)) {
      return null;
    }
    double byLevel = -1 / rate;
    double byRate = -(since + hours) / rate;
    double variance =
        byLevel * byLevel * fit.covariance(0, 0)
            + 2 * byLevel * byRate * fit.covariance(0, 1)
            + byRate * byRate * fit.covariance(1, 1);
    return new Estimate(hours, Math.sqrt(variance));
  }

  private CorrelatedRegression.@Nullable Fit line() {
    if (bins.size() < FEWEST_BLOCKS) {
      return null;
    }
    Blocks blocks = blocks();
    double middle = middle();
    return new CorrelatedRegression(blocks)
        .fit(
            new double[][] {
              blocks.column(t -> 1), blocks.column(t -> (t - middle) / SECONDS_PER_HOUR)
            });
  }

  private double middle() {
    return (bins.getFirst().from + last) / 2;
  }

  private Blocks blocks() {
    int samples = bins.stream().mapToInt(b -> b.count).sum();
    double half = (last - bins.getFirst().from) / Math.max(1, samples - 1) / 2;
    Blocks.Builder blocks = new Blocks.Builder();
    for (Bin b : bins) {
      blocks.add(b.from - half, b.to + half, b.times / b.count, b.values / b.count, b.count);
    }
    return blocks.build();
  }
}
