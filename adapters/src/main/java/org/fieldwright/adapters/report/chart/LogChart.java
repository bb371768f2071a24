package org.fieldwright.adapters.report.chart;

import java.util.List;
import org.fieldwright.adapters.report.chart.Scale.Tick;
import org.fieldwright.adapters.report.chart.Svg.Anchor;
import org.fieldwright.adapters.text.Numerals;

/** A field log against time: of each stretch its least and greatest value, events marked. */
public final class LogChart {
  private static final double WIDTH = 660;
  private static final double HEIGHT = 230;
  private static final double LEFT = 62;
  private static final double RIGHT = WIDTH - 8;
  private static final double TOP = 20;
  private static final double BOTTOM = HEIGHT - 36;
  private static final double SMALL = 9.5;

  private LogChart() {}

  /** What a stretch of time held. */
  public record Stretch(double hour, double low, double high) {}

  /** Something that happened, from hour to hour. */
  public record Mark(double from, double to) {}

  /**
   * Draws the chart.
   *
   * @param numerals how its numbers are written
   * @param name what the chart shows, for readers who do not see it
   */
  public static Markup draw(
      Numerals numerals, String name, List<Stretch> stretches, List<Mark> marks) {
    Svg svg = new Svg(WIDTH, HEIGHT, name);
    double low = stretches.stream().mapToDouble(Stretch::low).min().orElse(0);
    double high = stretches.stream().mapToDouble(Stretch::high).max().orElse(1);
    double margin = high > low ? 0.06 * (high - low) : 0.5;
    double last =
        Math.max(1e-3, stretches.isEmpty() ? 1 : stretches.get(stretches.size() - 1).hour());
    Scale x = Scale.linear(0, last * 1.01, LEFT, RIGHT);
    Scale y = Scale.linear(low - margin, high + margin, BOTTOM, TOP);
    for (Mark mark : marks) {
      double from = x.clamped(mark.from());
      double to = Math.max(from + 0.8, x.clamped(mark.to()));
      svg.rect(from, TOP, to - from, BOTTOM - TOP, Svg.FAINT, "none");
      svg.path(triangle((from + to) / 2), Svg.BEFORE, "none", 0);
    }
    for (Tick tick : y.ticks(5)) {
      double at = y.at(tick.value());
      svg.line(LEFT, at, RIGHT, at, Svg.FAINT, 0.6);
      svg.text(LEFT - 5, at + 3.3, tick.label(numerals), Anchor.END, SMALL);
    }
    for (Tick tick : x.ticks(8)) {
      double at = x.at(tick.value());
      svg.line(at, BOTTOM, at, BOTTOM + 3, Svg.INK, 0.8);
      svg.text(at, BOTTOM + 13, tick.label(numerals), Anchor.MIDDLE, SMALL);
    }
    if (!stretches.isEmpty()) {
      svg.path(band(stretches, x, y), Svg.AFTER, Svg.AFTER, 0.8);
    }
    svg.rect(LEFT, TOP, RIGHT - LEFT, BOTTOM - TOP, "none", Svg.INK);
    svg.text((LEFT + RIGHT) / 2, BOTTOM + 28, "hours since the start", Anchor.MIDDLE, SMALL);
    svg.text(12, (TOP + BOTTOM) / 2, "field, ppm", Anchor.MIDDLE, SMALL, Svg.INK, 90);
    return svg.finish();
  }

  private static String triangle(double at) {
    return "M" + Svg.number(at - 4) + " " + Svg.number(TOP - 9) + "h8l-4 7z";
  }

  /** There along the greatest values and back along the least. */
  private static String band(List<Stretch> stretches, Scale x, Scale y) {
    StringBuilder there = new StringBuilder();
    StringBuilder back = new StringBuilder();
    for (Stretch s : stretches) {
      String at = Svg.number(x.at(s.hour())) + " ";
      there.append(there.isEmpty() ? 'M' : 'L').append(at).append(Svg.number(y.at(s.high())));
      back.insert(0, "L" + at + Svg.number(y.at(s.low())));
    }
    return there.append(back).append('z').toString();
  }
}
