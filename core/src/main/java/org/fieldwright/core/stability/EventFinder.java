package org.fieldwright.core.stability;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import org.fieldwright.core.BadInput;

/**
 * Vets a log: gaps, lost locks, a quench, excursions, steps and changes of probe are found, and
 * what must not enter the trend is left out.
 */
final class EventFinder {
  /** Times without samples longer than this many intervals are gaps. */
  private static final double GAP_INTERVALS = 5;

  /** Gaps, and lost locks, that are listed one by one; a log of holes would fill the memory. */
  private static final int MOST_LISTED = 1000;

  /** Used samples that a level rests on. */
  private static final int FEWEST_BETWEEN = 3;

  private static final double QUENCH_SECONDS = 60;
  private static final double QUENCH_FALL = 0.9;

  private final FieldLog log;
  private final double[] time;
  private final Deviating ppm;
  private final double interval;
  private final List<LogEvent> events = new ArrayList<>();
  private int unlisted;

  private EventFinder(FieldLog log, Deviating ppm) {
    this.log = log;
    this.time = log.time();
    this.ppm = ppm;
    this.interval = time.length < 2 ? 1 : Robust.medianInterval(time);
  }

  /**
   * Vets a log.
   *
   * @param ppm its field relative to a reference; changed: samples not used are left out
   */
  static VettedLog vet(FieldLog log, Deviating ppm) {
    EventFinder finder = new EventFinder(log, ppm);
    finder.findGaps();
    finder.findLostLocks();
    finder.findQuench();
    finder.findExcursions();
    int[] steps = finder.findSteps();
    finder.events.sort(Comparator.comparingDouble(LogEvent::start));
    return new VettedLog(finder.interval, log.time(), ppm, steps, finder.events, finder.unlisted);
  }

  private void findGaps() {
    int found = 0;
    for (int i = 1; i < time.length; i++) {
      if (time[i] - time[i - 1] > GAP_INTERVALS * interval) {
        list(new LogEvent(LogEvent.Kind.GAP, i - 1, i, time[i - 1], time[i], 0), ++found);
      }
    }
  }

  private void list(LogEvent event, int found) {
    if (found <= MOST_LISTED) {
      events.add(event);
    } else {
      unlisted++;
    }
  }

  private void findLostLocks() {
    int found = 0;
    for (int i = 0; i < ppm.size(); i++) {
      if (!ppm.isUsed(i)) {
        int first = i;
        while (i + 1 < ppm.size() && !ppm.isUsed(i + 1)) {
          i++;
        }
        double end = time[i] + interval;
        list(new LogEvent(LogEvent.Kind.LOST_LOCK, first, i, time[first], end, 0), ++found);
      }
    }
  }

  private void findQuench() {
    int before = -1;
    for (int i = 0, next = 0; i < ppm.size(); i++) {
      for (; next < i && time[next] <= time[i] - QUENCH_SECONDS; next++) {
        before = ppm.isUsed(next) ? next : before;
      }
      before = before < 0 && ppm.isUsed(i) ? i : before;
      if (before >= 0 && ratio(i, before) < QUENCH_FALL && staysLow(i, before)) {
        double size = ppm.at(i) - ppm.at(before);
        events.add(new LogEvent(LogEvent.Kind.QUENCH, before, i, time[before], time[i], size));
        ppm.leaveOut(before + 1, ppm.size());
        return;
      }
    }
  }

  private double ratio(int i, int before) {
    return (1 + 1e-6 * ppm.at(i)) / (1 + 1e-6 * ppm.at(before));
  }

  /** The next six values, or all there are if more than two, stay below. */
  private boolean staysLow(int from, int before) {
    int seen = 0;
    for (int i = from; i < ppm.size() && seen < 6; i++) {
      if (ppm.isUsed(i)) {
        if (ratio(i, before) >= QUENCH_FALL) {
          return false;
        }
        seen++;
      }
    }
    return seen > 2;
  }

  private void findExcursions() {
    if (ppm.size() < 8) {
      return;
    }
    for (LogEvent e : new ExcursionFinder(time, ppm, interval).find()) {
      events.add(e);
    }
  }

  private int[] findSteps() {
    Deviating clean = ppm.copy();
    for (LogEvent e : events) {
      if (isExcursion(e)) {
        clean.leaveOut(e.firstSample(), e.lastSample() + 1);
      }
    }
    int perGroup = ExcursionFinder.samplesPerGroup(ppm.size(), interval);
    Groups groups = new Groups(clean, perGroup);
    List<Integer> steps = new ArrayList<>();
    double[] times = new double[groups.size()];
    for (int g = 0; g < times.length; g++) {
      times[g] = time[groups.firstSample(g)];
    }
    for (int group : StepFinder.find(groups.medians(), times, Robust.rounding(ppm))) {
      steps.add(perGroup == 1 ? group : placed(clean, groups.firstSample(group), perGroup));
    }
    List<Integer> changes = probeChanges();
    steps.removeIf(s -> changes.stream().anyMatch(c -> Math.abs(c - s) <= perGroup + 2));
    keepSamplesAtSteps(steps, changes, perGroup);
    for (int s : steps) {
      addStep(LogEvent.Kind.STEP, s, clean);
    }
    for (int c : changes) {
      addStep(LogEvent.Kind.PROBE_CHANGE, c, clean);
    }
    steps.addAll(changes);
    for (LogEvent e : events) {
      if (isExcursion(e)) {
        ppm.leaveOut(e.firstSample(), e.lastSample() + 1);
      }
    }
    return separating(steps.stream().mapToInt(i -> i).sorted().distinct().toArray());
  }

  /** Leaves out levels of fewer than three used samples: their height would be a guess. */
  private int[] separating(int[] steps) {
    int[] kept = new int[steps.length];
    int count = 0;
    for (int s = 0; s <= steps.length; s++) {
      int from = count == 0 ? 0 : kept[count - 1];
      int to = s < steps.length ? steps[s] : ppm.size();
      boolean level = enoughUsed(from, to);
      if (!level) {
        ppm.leaveOut(from, to);
      }
      if (s < steps.length) {
        if (!level && count > 0) {
          kept[count - 1] = to;
        } else if (level) {
          kept[count++] = to;
        }
      } else if (!level && count > 0) {
        count--;
      }
    }
    return Arrays.copyOf(kept, count);
  }

  private boolean enoughUsed(int from, int to) {
    int used = 0;
    for (int i = from; i < to && used < FEWEST_BETWEEN; i++) {
      used += ppm.isUsed(i) ? 1 : 0;
    }
    return used >= FEWEST_BETWEEN;
  }

  private static boolean isExcursion(LogEvent e) {
    return switch (e.kind()) {
      case SPIKE, TRAIN_LIKE, LIFT_LIKE -> true;
      default -> false;
    };
  }

  /** The few samples of a group that a step cuts look like an excursion; they are none. */
  private void keepSamplesAtSteps(List<Integer> steps, List<Integer> changes, int perGroup) {
    List<Integer> all = new ArrayList<>(steps);
    all.addAll(changes);
    events.removeIf(
        e ->
            isExcursion(e)
                && e.lastSample() - e.firstSample() < 2 * perGroup
                && all.stream()
                    .anyMatch(
                        s -> s >= e.firstSample() - perGroup && s <= e.lastSample() + perGroup));
  }

  private List<Integer> probeChanges() {
    int[] changes = log.probeChanges();
    if (changes.length > FieldLog.MOST_PROBE_CHANGES) {
      throw new BadInput(
          "the probe changes "
              + changes.length
              + " times in this log; drift is judged of one probe at a time: name it with --probe");
    }
    return Arrays.stream(changes).boxed().toList();
  }

  /** The sample, close to the edge of a group, where the means on both sides differ most. */
  private static int placed(Series values, int near, int perGroup) {
    int side = 2 * perGroup;
    int best = near;
    double most = -1;
    for (int i = near - perGroup; i <= near + perGroup; i++) {
      if (i > 0 && i < values.size()) {
        double size = Math.abs(mean(values, i, i + side) - mean(values, i - side, i));
        if (size > most) {
          most = size;
          best = i;
        }
      }
    }
    return best;
  }

  private static double mean(Series values, int from, int to) {
    double sum = 0;
    int n = 0;
    for (int i = Math.max(0, from); i < Math.min(values.size(), to); i++) {
      if (!Double.isNaN(values.at(i))) {
        sum += values.at(i);
        n++;
      }
    }
    return n == 0 ? Double.NaN : sum / n;
  }

  /** Height from a window on either side; the regression refines it. */
  private void addStep(LogEvent.Kind kind, int at, Deviating clean) {
    int side = (int) Math.max(8, Math.min(clean.size() / 20.0, 600 / interval));
    double size = mean(clean, at, at + side) - mean(clean, at - side, at);
    events.add(new LogEvent(kind, at - 1, at, time[at - 1], time[at], size));
  }
}
