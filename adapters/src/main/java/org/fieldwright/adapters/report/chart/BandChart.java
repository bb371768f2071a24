package org.fieldwright.adapters.report.chart;

import java.util.List;
import org.fieldwright.adapters.report.chart.Scale.Tick;
import org.fieldwright.adapters.report.chart.Svg.Anchor;
import org.fieldwright.adapters.text.Numerals;

/** A curve within the band of its uncertainty, both axes linear. */
public final class BandChart {
  private static final double WIDTH = 320;
  private static final double HEIGHT = 236;
  private static final double LEFT = 62;
  private static final double RIGHT = WIDTH - 10;
  private static final double TOP = 10;
  private static final double BOTTOM = HEIGHT - 42;
  private static final double SMALL = 9.5;

  private BandChart() {}

  /** A value, and how far the band reaches to either side. */
  public record Point(double x, double y, double half) {}

  /**
   * Draws the chart.
   *
   * @param numerals how its numbers are written
   * @param name what the chart shows, for readers who do not see it
   * @param points at least two, x ascending
   */
  public static Markup draw(
      Numerals numerals, String name, String xTitle, String yTitle, List<Point> points) {
    Svg svg = new Svg(WIDTH, HEIGHT, name);
    double low = points.stream().mapToDouble(p -> p.y() - p.half()).min().orElse(0);
    double high = points.stream().mapToDouble(p -> p.y() + p.half()).max().orElse(1);
    double margin = high > low ? 0.06 * (high - low) : 0.5;
    Scale x = Scale.linear(0, points.get(points.size() - 1).x(), LEFT, RIGHT);
    Scale y = Scale.linear(low - margin, high + margin, BOTTOM, TOP);
    StringBuilder middle = new StringBuilder();
    StringBuilder above = new StringBuilder();
    StringBuilder below = new StringBuilder();
    for (Point p : points) {
      String at = Svg.number(x.at(p.x())) + " ";
      middle.append(middle.isEmpty() ? 'M' : 'L').append(at).append(Svg.number(y.at(p.y())));
      above.append(above.isEmpty() ? 'M' : 'L');
      above.append(at).append(Svg.number(y.at(p.y() + p.half())));
      below.insert(0, "L" + at + Svg.number(y.at(p.y() - p.half())));
    }
    svg.path(above.append(below).append('z').toString(), Svg.FAINT, "none", 0);
    for (Tick tick : y.ticks(5)) {
      double at = y.at(tick.value());
      svg.line(LEFT - 3, at, LEFT, at, Svg.INK, 0.8);
      svg.text(LEFT - 6, at + 3.3, tick.label(numerals), Anchor.END, SMALL);
    }
    for (Tick tick : x.ticks(5)) {
      double at = x.at(tick.value());
      svg.line(at, BOTTOM, at, BOTTOM + 3, Svg.INK, 0.8);
      svg.text(at, BOTTOM + 13, tick.label(numerals), Anchor.MIDDLE, SMALL);
    }
    svg.path(middle.toString(), "none", Svg.AFTER, 1.4);
    svg.rect(LEFT, TOP, RIGHT - LEFT, BOTTOM - TOP, "none", Svg.INK);
    svg.text((LEFT + RIGHT) / 2, BOTTOM + 30, xTitle, Anchor.MIDDLE, SMALL);
    svg.text(12, (TOP + BOTTOM) / 2, yTitle, Anchor.MIDDLE, SMALL, Svg.INK, 90);
    return svg.finish();
  }
}
