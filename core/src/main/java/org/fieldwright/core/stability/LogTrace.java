package org.fieldwright.core.stability;

import java.util.ArrayList;
import java.util.List;

/**
 * A field log as a picture can hold it: the least and the greatest value of each stretch of time,
 * so that no excursion is lost, however many samples there are.
 */
public record LogTrace(List<Stretch> stretches) {

  public LogTrace {
    stretches = List.copyOf(stretches);
  }

  /**
   * A stretch with at least one sample that locked.
   *
   * @param time of its first sample, s since the start of the log
   * @param lowPpm least value, ppm of the reference
   * @param highPpm greatest value
   */
  public record Stretch(double time, double lowPpm, double highPpm) {}

  /**
   * Of a log.
   *
   * @param reference field that is 0 ppm, T
   * @param count how many stretches of equal length at most
   */
  public static LogTrace of(FieldLog log, double reference, int count) {
    double[] time = log.time();
    double[] field = log.field();
    double step = Math.max(log.duration(), 1e-9) / count;
    List<Stretch> stretches = new ArrayList<>();
    for (int i = 0; i < log.size(); ) {
      int stretch = (int) Math.min(count - 1, Math.floor(time[i] / step));
      double end = stretch == count - 1 ? Double.POSITIVE_INFINITY : (stretch + 1) * step;
      double first = time[i];
      double least = Double.POSITIVE_INFINITY;
      double most = Double.NEGATIVE_INFINITY;
      do {
        if (!Double.isNaN(field[i])) {
          least = Math.min(least, field[i]);
          most = Math.max(most, field[i]);
        }
        i++;
      } while (i < log.size() && time[i] < end);
      if (least <= most) {
        stretches.add(
            new Stretch(first, 1e6 * (least / reference - 1), 1e6 * (most / reference - 1)));
      }
    }
    return new LogTrace(stretches);
  }
}
