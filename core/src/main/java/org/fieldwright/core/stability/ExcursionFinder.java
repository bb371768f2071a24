package org.fieldwright.core.stability;

import java.util.ArrayList;
import java.util.List;

/**
 * Finds stretches where the field leaves its level and comes back within a quarter of an hour.
 *
 * <p>The level is a running median over half an hour (at least 31 samples), which ignores anything
 * shorter than half of that and keeps the edges of steps. What departs from it by more than six
 * times the bulk's scatter, in single samples or in groups of them, is an excursion; it reaches as
 * far as the departure stays above half of that.
 */
final class ExcursionFinder {
  private static final double LEVEL_SECONDS = 1800;
  private static final int FEWEST_IN_LEVEL = 31;

  /** Groups in the running median: more cost time, fewer blur its edges. */
  private static final int GROUPS_IN_LEVEL = 101;

  private static final double SEED = 6;
  private static final double REACH = 3;

  /** Samples inside an excursion that may lie below the reach, as where a pulse changes sign. */
  private static final int BRIDGE = 3;

  private final double[] time;
  private final Series departure;
  private final double interval;
  private final Groups groups;
  private final double[] level;

  /** Of a log; value holds NaN where there is no lock. */
  ExcursionFinder(double[] time, Series value, double interval) {
    this.time = time;
    this.interval = interval;
    int inLevel = (int) Math.max(FEWEST_IN_LEVEL, Math.round(LEVEL_SECONDS / interval));
    groups = new Groups(value, samplesPerGroup(value.size(), interval));
    int half = Math.max(FEWEST_IN_LEVEL / 2, inLevel / groups.perGroup() / 2);
    level = Robust.runningMedian(groups.medians(), half);
    departure = departure(value, groups, level);
  }

  private static Series departure(Series value, Groups groups, double[] level) {
    return new Series() {
      @Override
      public int size() {
        return value.size();
      }

      @Override
      public double at(int i) {
        return value.at(i) - level[groups.groupOf(i)];
      }
    };
  }

  /** Samples in a group, so that a level takes some hundred groups and a log at most a million. */
  static int samplesPerGroup(int samples, double interval) {
    int inLevel = (int) Math.max(FEWEST_IN_LEVEL, Math.round(LEVEL_SECONDS / interval));
    return Math.max(1, Math.max(inLevel / GROUPS_IN_LEVEL, samples / 1_000_000));
  }

  /** Excursions and spikes, in the order of time. */
  List<LogEvent> find() {
    boolean[] out = new boolean[departure.size()];
    markSamples(out);
    markGroups(out);
    List<LogEvent> events = new ArrayList<>();
    int i = 0;
    while (i < out.length) {
      if (!out[i]) {
        i++;
        continue;
      }
      int last = i;
      for (int j = i; j < out.length && j <= last + BRIDGE; j++) {
        last = out[j] ? j : last;
      }
      if (returns(i, last)) {
        events.add(named(i, last));
      }
      i = last + 1;
    }
    return events;
  }

  private void markSamples(boolean[] out) {
    double scatter = Robust.scatter(departure);
    for (int i = 0; i < departure.size(); i++) {
      if (Math.abs(departure.at(i)) > SEED * scatter) {
        extend(out, i, scatter);
      }
    }
  }

  private void extend(boolean[] out, int seed, double scatter) {
    out[seed] = true;
    for (int j = seed - 1; j >= 0 && !out[j] && Math.abs(departure.at(j)) > REACH * scatter; j--) {
      out[j] = true;
    }
    for (int j = seed + 1;
        j < out.length && !out[j] && Math.abs(departure.at(j)) > REACH * scatter;
        j++) {
      out[j] = true;
    }
  }

  /** Departures too small to see in one sample but not in a group of them. */
  private void markGroups(boolean[] out) {
    if (groups.perGroup() == 1) {
      return;
    }
    double[] difference = new double[groups.size()];
    for (int g = 0; g < difference.length; g++) {
      difference[g] = groups.medians()[g] - level[g];
    }
    double scatter = Robust.scatter(difference);
    for (int g = 0; g < difference.length; g++) {
      if (Math.abs(difference[g]) > SEED * scatter) {
        int from = groups.firstSample(g);
        for (int i = from; i < Math.min(out.length, from + groups.perGroup()); i++) {
          out[i] = true;
        }
      }
    }
  }

  /** Half an hour of level follows on both sides, or as much as the log has. */
  private boolean returns(int first, int last) {
    return first > 0
        && last < departure.size() - 1
        && time[last] - time[first] <= LEVEL_SECONDS / 2 + FEWEST_IN_LEVEL * interval / 2;
  }

  private LogEvent named(int first, int last) {
    int n = last - first + 1;
    double largest = 0;
    for (int i = first; i <= last; i++) {
      if (Math.abs(departure.at(i)) > Math.abs(largest)) {
        largest = departure.at(i);
      }
    }
    LogEvent.Kind kind =
        n <= 2
            ? LogEvent.Kind.SPIKE
            : flat(first, last) ? LogEvent.Kind.LIFT_LIKE : LogEvent.Kind.TRAIN_LIKE;
    return new LogEvent(kind, first, last, time[first], time[last] + interval, largest);
  }

  /** Three samples in four stand on one side within 30 % of their median. */
  private boolean flat(int first, int last) {
    double plateau = Robust.median(departure, first, last + 1);
    double scatter = Robust.scatter(departure);
    int near = 0;
    int all = 0;
    for (int i = first; i <= last; i++) {
      if (!Double.isNaN(departure.at(i))) {
        all++;
        double off = Math.abs(departure.at(i) - plateau);
        near += off < 0.3 * Math.abs(plateau) + scatter ? 1 : 0;
      }
    }
    return near >= 0.75 * all;
  }
}
