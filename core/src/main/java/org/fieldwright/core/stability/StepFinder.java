package org.fieldwright.core.stability;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Finds where the level changes at once and stays changed.
 *
 * <p>At each place and for windows of doubling length w the means of four neighbouring windows are
 * combined as (m1 − 3 m2 + 3 m3 − m4)/2: a step between the second and the third counts in full, a
 * slope or a curvature not at all. The usual scatter of that number at each w, noise of any colour
 * included, sets what is unusual: more than seven times. The change must also be sharp: half of it
 * within an eighth of the window. The largest is taken out, and the search repeated.
 */
final class StepFinder {
  private static final double UNUSUAL = 7;

  /** More steps than this in one log are no longer steps but its noise. */
  private static final int MOST_STEPS = 40;

  /** Windows of the longest kind that must fit, for its scatter to be known. */
  private static final int FEWEST_WINDOWS = 24;

  /** Values on a side of a gap that tell the slope across it, at most. */
  private static final int MOST_REACH = 5000;

  private final double[] value;

  /** Missing intervals before each value. */
  private final double[] missing;

  /** Step that the readings are rounded to: a slow drift climbs in such steps, and overshoots. */
  private final double rounding;

  private StepFinder(double[] value, double[] missing, double rounding) {
    this.value = value;
    this.rounding = rounding;
    this.missing = missing;
  }

  /**
   * Finds steps.
   *
   * @param values NaN values are skipped over
   * @param times of the values, s
   * @param rounding step that the readings are rounded to, in the unit of the values
   * @return indices of the first values after each step, increasing
   */
  static List<Integer> find(double[] values, double[] times, double rounding) {
    int[] place = new int[values.length];
    double[] kept = new double[values.length];
    double[] time = new double[values.length];
    int n = 0;
    for (int i = 0; i < values.length; i++) {
      if (!Double.isNaN(values[i])) {
        place[n] = i;
        time[n] = times[i];
        kept[n++] = values[i];
      }
    }
    if (n < FEWEST_WINDOWS) {
      return List.of();
    }
    time = Arrays.copyOf(time, n);
    double interval = Robust.medianInterval(time);
    double[] missing = new double[n];
    for (int i = 1; i < n; i++) {
      missing[i] = Math.max(0, (time[i] - time[i - 1]) / interval - 1);
    }
    StepFinder finder = new StepFinder(Arrays.copyOf(kept, n), missing, rounding);
    finder.closeGaps();
    return finder.search().stream().map(i -> place[i]).sorted().toList();
  }

  /** Takes out what the slope on both sides of a gap makes of its length. */
  private void closeGaps() {
    double removed = 0;
    double[] original = value.clone();
    for (int i = 1; i < value.length; i++) {
      if (missing[i] > 0.5) {
        removed += missing[i] * slopeAround(original, i);
      }
      value[i] -= removed;
    }
  }

  /** Mean of the least-squares slopes of as many values on either side as the gap is long. */
  private double slopeAround(double[] original, int at) {
    int reach = (int) Math.min(MOST_REACH, Math.max(FEWEST_WINDOWS, missing[at]));
    double sum = 0;
    int sides = 0;
    int before = Math.max(0, at - reach);
    int after = Math.min(original.length, at + reach);
    if (at - before >= FEWEST_WINDOWS) {
      sum += slope(original, before, at);
      sides++;
    }
    if (after - at >= FEWEST_WINDOWS) {
      sum += slope(original, at, after);
      sides++;
    }
    return sides == 0 ? 0 : sum / sides;
  }

  private static double slope(double[] y, int from, int to) {
    double middle = (from + to - 1) / 2.0;
    double product = 0;
    double square = 0;
    for (int i = from; i < to; i++) {
      product += (i - middle) * y[i];
      square += (i - middle) * (i - middle);
    }
    return product / square;
  }

  private List<Integer> search() {
    List<Integer> steps = new ArrayList<>();
    double[] scatter = null;
    while (steps.size() < MOST_STEPS) {
      double[] sums = sums();
      if (scatter == null || steps.size() <= 8) {
        scatter = scatters(sums);
      }
      Candidate best = best(sums, scatter);
      if (best == null) {
        break;
      }
      int at = refine(sums, best);
      if (steps.contains(at)) {
        break;
      }
      steps.add(at);
      takeOut(sums, at, best.window);
    }
    return steps;
  }

  private double[] sums() {
    double[] sums = new double[value.length + 1];
    double origin = value.length == 0 ? 0 : value[0];
    for (int i = 0; i < value.length; i++) {
      sums[i + 1] = sums[i] + value[i] - origin;
    }
    return sums;
  }

  private int windows() {
    int count = 0;
    while (value.length >= (FEWEST_WINDOWS << count)) {
      count++;
    }
    return count;
  }

  private double[] scatters(double[] sums) {
    double[] scatter = new double[windows()];
    for (int k = 0; k < scatter.length; k++) {
      int w = 1 << k;
      double[] all = new double[value.length - 4 * w + 1];
      for (int i = 0; i < all.length; i++) {
        all[i] = jump(sums, i + 2 * w, w);
      }
      scatter[k] = Robust.scatter(all);
    }
    return scatter;
  }

  private @Nullable Candidate best(double[] sums, double[] scatter) {
    Candidate best = null;
    double most = UNUSUAL;
    for (int k = 0; k < scatter.length; k++) {
      int w = 1 << k;
      for (int at = 2 * w; at <= value.length - 2 * w; at++) {
        double jump = jump(sums, at, w);
        double unusual = Math.abs(jump) / scatter[k];
        if (unusual > most && Math.abs(jump) > 2.5 * rounding && sharp(sums, at, w, jump)) {
          unusual = Math.abs(jump) / scatterAcross(scatter, k, at);
          if (unusual > most) {
            most = unusual;
            best = new Candidate(at, w);
          }
        }
      }
    }
    return best;
  }

  /** During a gap the field may wander as it does within windows of the gap's length. */
  private double scatterAcross(double[] scatter, int k, int at) {
    int w = 1 << k;
    double longest = 0;
    for (int i = Math.max(1, at - w); i < Math.min(value.length, at + w); i++) {
      longest = Math.max(longest, missing[i]);
    }
    double most = scatter[k];
    for (int j = k + 1; j < scatter.length && (1 << (j - 1)) < longest; j++) {
      most = Math.max(most, scatter[j]);
    }
    double beyond = longest / (1 << (scatter.length - 1));
    return beyond > 1 ? most * Math.sqrt(beyond) : most;
  }

  private boolean sharp(double[] sums, int at, int w, double jump) {
    int narrow = Math.max(1, w / 8);
    double most = 0;
    for (int i = at - narrow; i <= at + narrow; i++) {
      most = Math.max(most, Math.signum(jump) * difference(sums, i, narrow));
    }
    return most >= 0.5 * Math.abs(jump);
  }

  /** Where the means on both sides differ most, close by. */
  private int refine(double[] sums, Candidate c) {
    int best = c.at;
    double most = 0;
    int reach = Math.max(2, c.window / 2);
    int side = Math.max(2, c.window);
    for (int i = c.at - reach; i <= c.at + reach; i++) {
      if (i - side >= 0 && i + side <= value.length) {
        double size = Math.abs(difference(sums, i, side));
        if (size > most) {
          most = size;
          best = i;
        }
      }
    }
    return best;
  }

  private void takeOut(double[] sums, int at, int w) {
    int side = Math.min(w, Math.min(at, value.length - at));
    int outer = Math.min(2 * side, Math.min(at, value.length - at)) - side;
    double size = difference(sums, at, side);
    if (outer == side) {
      size = jump(sums, at, side);
    }
    for (int i = at; i < value.length; i++) {
      value[i] -= size;
    }
  }

  private static double difference(double[] sums, int at, int w) {
    return (sums[at + w] - 2 * sums[at] + sums[at - w]) / w;
  }

  private static double jump(double[] sums, int at, int w) {
    double outer = sums[at + 2 * w] - sums[at + w] - (sums[at - w] - sums[at - 2 * w]);
    double inner = sums[at + w] - 2 * sums[at] + sums[at - w];
    return (1.5 * inner - 0.5 * outer) / w;
  }

  private static final class Candidate {
    private final int at;
    private final int window;

    Candidate(int at, int window) {
      this.at = at;
      this.window = window;
    }
  }
}
