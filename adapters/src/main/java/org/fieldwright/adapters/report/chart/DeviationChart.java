package org.fieldwright.adapters.report.chart;

import java.util.List;
import org.fieldwright.adapters.report.chart.Scale.Tick;
import org.fieldwright.adapters.report.chart.Svg.Anchor;
import org.fieldwright.adapters.text.Numerals;

/** Deviations against averaging time, both axes logarithmic, with their confidence. */
public final class DeviationChart {
  private static final double WIDTH = 320;
  private static final double HEIGHT = 236;
  private static final double LEFT = 62;
  private static final double RIGHT = WIDTH - 18; // half of "10,000" stands beyond it
  private static final double TOP = 10;
  private static final double BOTTOM = HEIGHT - 42;
  private static final double SMALL = 9.5;

  private DeviationChart() {}

  /** A deviation with the ends of its interval, all above 0. */
  public record Point(double seconds, double value, double low, double high) {}

  /**
   * Draws the chart.
   *
   * @param numerals how its numbers are written
   * @param name what the chart shows, for readers who do not see it
   * @param points at least one
   */
  public static Markup draw(Numerals numerals, String name, List<Point> points) {
    Svg svg = new Svg(WIDTH, HEIGHT, name);
    Scale x =
        decades(points.get(0).seconds(), points.get(points.size() - 1).seconds(), LEFT, RIGHT);
    Scale y =
        decades(
            points.stream().mapToDouble(Point::low).min().orElse(1),
            points.stream().mapToDouble(Point::high).max().orElse(1),
            BOTTOM,
            TOP);
    for (Tick tick : y.ticks(0)) {
      double at = y.at(tick.value());
      svg.line(LEFT, at, RIGHT, at, Svg.FAINT, 0.6);
      svg.text(LEFT - 5, at + 3.3, power(numerals, tick.value()), Anchor.END, SMALL);
    }
    for (Tick tick : x.ticks(0)) {
      double at = x.at(tick.value());
      svg.line(at, TOP, at, BOTTOM, Svg.FAINT, 0.6);
      svg.text(at, BOTTOM + 13, power(numerals, tick.value()), Anchor.MIDDLE, SMALL);
    }
    StringBuilder path = new StringBuilder();
    for (Point p : points) {
      double px = x.at(p.seconds());
      double py = y.at(p.value());
      path.append(path.isEmpty() ? 'M' : 'L');
      path.append(Svg.number(px)).append(' ').append(Svg.number(py));
      svg.line(px, y.at(p.low()), px, y.at(p.high()), Svg.AFTER, 1);
      svg.circle(px, py, 2, Svg.AFTER, "none");
    }
    svg.path(path.toString(), "none", Svg.AFTER, 1.2);
    svg.rect(LEFT, TOP, RIGHT - LEFT, BOTTOM - TOP, "none", Svg.INK);
    svg.text((LEFT + RIGHT) / 2, BOTTOM + 30, "averaging time, s", Anchor.MIDDLE, SMALL);
    svg.text(12, (TOP + BOTTOM) / 2, "deviation, ppm", Anchor.MIDDLE, SMALL, Svg.INK, 90);
    return svg.finish();
  }

  /** The whole decades that hold a range. */
  private static Scale decades(double low, double high, double start, double end) {
    double from = Math.floor(Math.log10(low) + 1e-9);
    double to = Math.max(from + 1, Math.ceil(Math.log10(high) - 1e-9));
    return Scale.log(Math.pow(10, from), Math.pow(10, to), start, end);
  }

  /** A power of ten as a plain number while that is short, else as 10 with its exponent. */
  private static String power(Numerals numerals, double value) {
    int exponent = (int) Math.rint(Math.log10(value));
    if (exponent >= -3 && exponent <= 4) {
      return numerals.decimals(value, Math.max(0, -exponent));
    }
    StringBuilder text = new StringBuilder("10").append(exponent < 0 ? "⁻" : "");
    Integer.toString(Math.abs(exponent))
        .chars()
        .forEach(c -> text.append("⁰¹²³⁴⁵⁶⁷⁸⁹".charAt(c - '0')));
    return text.toString();
  }
}
