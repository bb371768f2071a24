package org.fieldwright.core.stability;

import java.util.Arrays;
import java.util.function.DoubleUnaryOperator;

/**
 * A log in blocks of neighbouring samples: what regression works on, so that its cost does not grow
 * with the log. No block reaches across a step or a gap.
 */
final class Blocks {
  /** Times without samples longer than this many intervals end a block. */
  private static final double GAP_INTERVALS = 5;

  private final double[] from;
  private final double[] to;
  private final double[] centre;
  private final double[] mean;
  private final int[] count;
  private final int[] segment;

  private Blocks(Collector c) {
    this.from = Arrays.copyOf(c.from, c.size);
    this.to = Arrays.copyOf(c.to, c.size);
    this.centre = Arrays.copyOf(c.centre, c.size);
    this.mean = Arrays.copyOf(c.mean, c.size);
    this.count = Arrays.copyOf(c.count, c.size);
    this.segment = Arrays.copyOf(c.segment, c.size);
  }

  /**
   * Of samples.
   *
   * @param time s, increasing
   * @param value NaN where the sample is left out
   * @param interval usual time from one sample to the next, s
   * @param steps indices of the first samples after each step, increasing
   * @param wanted number of blocks if nothing interrupts
   */
  static Blocks of(double[] time, Series value, double interval, int[] steps, int wanted) {
    int used = 0;
    for (int i = 0; i < value.size(); i++) {
      used += Double.isNaN(value.at(i)) ? 0 : 1;
    }
    int perBlock = Math.max(1, (used + wanted - 1) / Math.max(1, wanted));
    Collector collector = new Collector(perBlock, interval);
    int segment = 0;
    for (int i = 0; i < time.length; i++) {
      while (segment < steps.length && i >= steps[segment]) {
        segment++;
      }
      double here = value.at(i);
      if (!Double.isNaN(here)) {
        double half = interval / 2;
        collector.add(time[i] - half, time[i] + half, time[i], here, 1, segment);
      }
    }
    collector.close();
    return new Blocks(collector);
  }

  /** About so many blocks, made of these. */
  Blocks merged(int wanted) {
    int used = Arrays.stream(count).sum();
    int perBlock = Math.max(1, (used + wanted - 1) / wanted);
    double interval = size() == 0 ? 1 : Math.max(1e-9, (to[0] - from[0]) / count[0]);
    Collector collector = new Collector(perBlock, interval);
    for (int i = 0; i < size(); i++) {
      collector.add(from[i], to[i], centre[i], mean[i], count[i], segment[i]);
    }
    collector.close();
    return new Blocks(collector);
  }

  /** The blocks whose centre lies at or after this time, s. */
  Blocks since(double start) {
    int first = 0;
    while (first < size() && centre[first] < start) {
      first++;
    }
    Collector c = new Collector(1, 1);
    for (int i = first; i < size(); i++) {
      c.copy(this, i);
    }
    return new Blocks(c);
  }

  /** These blocks with other values. */
  Blocks withValues(double[] values) {
    Collector c = new Collector(1, 1);
    for (int i = 0; i < size(); i++) {
      c.copy(this, i);
      c.mean[i] = values[i];
    }
    return new Blocks(c);
  }

  int size() {
    return mean.length;
  }

  double from(int i) {
    return from[i];
  }

  double to(int i) {
    return to[i];
  }

  /** Mean time of the samples, s. */
  double centre(int i) {
    return centre[i];
  }

  double mean(int i) {
    return mean[i];
  }

  int count(int i) {
    return count[i];
  }

  double[] centres() {
    return centre.clone();
  }

  double[] means() {
    return mean.clone();
  }

  /** A function of time at the centres. */
  double[] column(DoubleUnaryOperator function) {
    return Arrays.stream(centre).map(function).toArray();
  }

  /** Blocks whose means someone else took. */
  static final class Builder {
    private final Collector collector = new Collector(1, Double.POSITIVE_INFINITY);

    /** A block of so many samples between two times, s, with the mean of their times and values. */
    void add(double from, double to, double centre, double mean, int count) {
      collector.add(from, to, centre, mean, count, 0);
    }

    Blocks build() {
      return new Blocks(collector);
    }
  }

  private static final class Collector {
    private double[] from = new double[64];
    private double[] to = new double[64];
    private double[] centre = new double[64];
    private double[] mean = new double[64];
    private int[] count = new int[64];
    private int[] segment = new int[64];
    private final int perBlock;
    private final double interval;
    private int size;
    private double timeSum;
    private double valueSum;
    private int samples;

    Collector(int perBlock, double interval) {
      this.perBlock = perBlock;
      this.interval = interval;
    }

    /** For one block more; there are far fewer of them than samples. */
    private void makeRoom() {
      if (size == mean.length) {
        int room = 2 * size;
        from = Arrays.copyOf(from, room);
        to = Arrays.copyOf(to, room);
        centre = Arrays.copyOf(centre, room);
        mean = Arrays.copyOf(mean, room);
        count = Arrays.copyOf(count, room);
        segment = Arrays.copyOf(segment, room);
      }
    }

    void add(double start, double end, double at, double value, int n, int part) {
      if (samples > 0 && (part != segment[size] || start - to[size] > GAP_INTERVALS * interval)) {
        close();
      }
      if (samples == 0) {
        makeRoom();
        from[size] = start;
        segment[size] = part;
      }
      to[size] = end;
      timeSum += n * at;
      valueSum += n * value;
      samples += n;
      if (samples >= perBlock) {
        close();
      }
    }

    void copy(Blocks blocks, int i) {
      makeRoom();
      from[size] = blocks.from[i];
      to[size] = blocks.to[i];
      centre[size] = blocks.centre[i];
      mean[size] = blocks.mean[i];
      count[size] = blocks.count[i];
      segment[size] = blocks.segment[i];
      size++;
    }

    void close() {
      if (samples > 0) {
        centre[size] = timeSum / samples;
        mean[size] = valueSum / samples;
        count[size] = samples;
        size++;
      }
      timeSum = 0;
      valueSum = 0;
      samples = 0;
    }
  }
}
