package org.fieldwright.app.capture;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.ArrayList;
import java.util.List;

/**
 * The change of the field over a whole recording as a picture can hold it: mean, least and greatest
 * of stretches of equal length, which grow with the recording, so that what is held does not.
 */
final class FieldTrace {
  private static final int MOST = 1200;
  private static final double FIRST_WIDTH_S = 1;
  private static final double ROUND = 1e5;

  private final List<Stretch> stretches = new ArrayList<>();
  private double width = FIRST_WIDTH_S;
  private double begin = Double.NaN;

  /** One stretch, by its number from the first. */
  private static final class Stretch {
    private final long number;
    private double seconds;
    private double ppm;
    private double low;
    private double high;
    private int count;

    Stretch(long number) {
      this.number = number;
      low = Double.POSITIVE_INFINITY;
      high = Double.NEGATIVE_INFINITY;
    }

    void take(Stretch other) {
      seconds += other.seconds;
      ppm += other.ppm;
      low = Math.min(low, other.low);
      high = Math.max(high, other.high);
      count += other.count;
    }

    Stretch copy(long at) {
      Stretch copy = new Stretch(at);
      copy.take(this);
      return copy;
    }
  }

  /** Adds what a probe shows, in the order of time. */
  void add(double seconds, double ppm) {
    begin = Double.isNaN(begin) ? seconds : begin;
    Stretch one = new Stretch((long) Math.floor((seconds - begin) / width));
    one.seconds = seconds - begin;
    one.ppm = ppm;
    one.low = ppm;
    one.high = ppm;
    one.count = 1;
    join(stretches, one);
    if (stretches.size() > MOST) {
      widen();
    }
  }

  private static void join(List<Stretch> list, Stretch next) {
    Stretch last = list.isEmpty() ? null : list.get(list.size() - 1);
    if (last != null && last.number == next.number) {
      last.take(next);
    } else {
      list.add(next);
    }
  }

  private void widen() {
    width *= 2;
    List<Stretch> wider = new ArrayList<>();
    stretches.forEach(s -> join(wider, s.copy(s.number / 2)));
    stretches.clear();
    stretches.addAll(wider);
  }

  /** What it holds now; it does not grow with this one. */
  FieldTrace copy() {
    FieldTrace copy = new FieldTrace();
    copy.width = width;
    copy.begin = begin;
    stretches.forEach(s -> copy.stretches.add(s.copy(s.number)));
    return copy;
  }

  /**
   * As JSON.
   *
   * @param most how many of the last stretches; {@code from} is the number before them
   */
  void put(ObjectNode node, int most) {
    int from = Math.max(0, stretches.size() - most);
    node.put("width_s", width).put("from", from);
    ArrayNode times = node.putArray("time_s");
    ArrayNode means = node.putArray("mean_ppm");
    ArrayNode lows = node.putArray("low_ppm");
    ArrayNode highs = node.putArray("high_ppm");
    for (Stretch s : stretches.subList(from, stretches.size())) {
      times.add(rounded(s.seconds / s.count));
      means.add(rounded(s.ppm / s.count));
      lows.add(rounded(s.low));
      highs.add(rounded(s.high));
    }
  }

  private static double rounded(double value) {
    return Math.rint(value * ROUND) / ROUND;
  }
}
