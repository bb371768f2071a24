package org.fieldwright.core.history;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.fieldwright.core.stability.Estimate;
import org.jspecify.annotations.Nullable;

/**
 * A weighted straight line through values over time whose level may be a new one from some value
 * on, while its slope stays: v = level + slope·t. Least squares by the moments about each level's
 * own weighted means (Draper and Smith, Applied Regression Analysis, ch. 9); variances are taken as
 * known.
 */
final class FieldLine {
  private final Map<Integer, List<Point>> levels = new LinkedHashMap<>();

  private record Point(double t, double value, double variance) {}

  void add(double t, double value, double variance, int level) {
    levels.computeIfAbsent(level, l -> new ArrayList<>()).add(new Point(t, value, variance));
  }

  int size() {
    return levels.values().stream().mapToInt(List::size).sum();
  }

  /** The slope; null where no level holds two times. */
  @Nullable Estimate slope() {
    double across = 0;
    double product = 0;
    for (List<Point> level : levels.values()) {
      if (isOneTime(level)) {
        continue; // its own mean: what is left would be rounding
      }
      double t = mean(level, true);
      double v = mean(level, false);
      for (Point p : level) {
        across += (p.t - t) * (p.t - t) / p.variance;
        product += (p.t - t) * (p.value - v) / p.variance;
      }
    }
    return across > 0 ? new Estimate(product / across, 1 / Math.sqrt(across)) : null;
  }

  /** The line on a level at a time; null where there is no slope or no such level. */
  @Nullable Estimate at(double t, int level) {
    Estimate slope = slope();
    List<Point> of = levels.get(level);
    if (slope == null || of == null) {
      return null;
    }
    double away = t - mean(of, true);
    double u = Math.hypot(1 / Math.sqrt(weight(of)), away * slope.uncertainty());
    return new Estimate(mean(of, false) + away * slope.value(), u);
  }

  private static boolean isOneTime(List<Point> level) {
    return level.stream().allMatch(p -> p.t == level.get(0).t);
  }

  private static double mean(List<Point> level, boolean ofTime) {
    double sum = 0;
    for (Point p : level) {
      sum += (ofTime ? p.t : p.value) / p.variance;
    }
    return sum / weight(level);
  }

  private static double weight(List<Point> level) {
    return level.stream().mapToDouble(p -> 1 / p.variance).sum();
  }
}
