package org.fieldwright.adapters.report.chart;

import java.util.List;
import org.fieldwright.adapters.report.chart.Scale.Tick;
import org.fieldwright.adapters.report.chart.Svg.Anchor;
import org.fieldwright.adapters.text.Numerals;

/** Curves over a linear axis, their values on a logarithmic one. */
public final class CurveChart {
  private static final double WIDTH = 320;
  private static final double HEIGHT = 236;
  private static final double LEFT = 52;
  private static final double RIGHT = WIDTH - 8;
  private static final double TOP = 10;
  private static final double BOTTOM = HEIGHT - 72;
  private static final double SMALL = 9.5;
  private static final double MOST_DECADES = 6;

  private CurveChart() {}

  /** How a curve is drawn. */
  public enum Line {
    BEFORE(Svg.BEFORE, false),
    BEFORE_SECOND(Svg.BEFORE, true),
    AFTER(Svg.AFTER, false),
    AFTER_SECOND(Svg.AFTER, true),
    NOISE(Svg.GREY, true);

    private final String colour;
    private final boolean dashed;

    Line(String colour, boolean dashed) {
      this.colour = colour;
      this.dashed = dashed;
    }
  }

  /** A point of a curve; where y is not above zero it cannot be shown and is left out. */
  public record Point(double x, double y) {}

  /** A curve through points, x ascending. */
  public record Curve(String name, Line line, List<Point> points) {}

  /** Round whole numbers between two values, about {@code about} of them. */
  public static List<Integer> roundMarks(double low, double high, int about) {
    return Scale.linear(low, high, 0, 1).ticks(about).stream()
        .filter(t -> t.decimals() == 0)
        .map(t -> (int) Math.round(t.value()))
        .toList();
  }

  /**
   * Draws the chart.
   *
   * @param numerals how its numbers are written
   * @param name what the chart shows, for readers who do not see it
   * @param xTitle with its unit
   * @param yTitle with its unit
   * @param xMarks where the x axis is labelled; whole numbers
   */
  public static Markup draw(
      Numerals numerals,
      String name,
      String xTitle,
      String yTitle,
      List<Integer> xMarks,
      List<Curve> curves) {
    Svg svg = new Svg(WIDTH, HEIGHT, name);
    Scale x = xScale(curves);
    Scale y = yScale(curves);
    for (Tick tick : y.ticks(0)) {
      double at = y.at(tick.value());
      svg.line(LEFT, at, RIGHT, at, Svg.FAINT, 0.6);
      svg.text(LEFT - 5, at + 3.3, tick.label(numerals), Anchor.END, SMALL);
    }
    for (int mark : xMarks) {
      double at = x.at(mark);
      svg.line(at, BOTTOM, at, BOTTOM + 3, Svg.INK, 0.8);
      svg.text(at, BOTTOM + 13, numerals.count(mark), Anchor.MIDDLE, SMALL);
    }
    curves.forEach(curve -> trace(svg, x, y, curve));
    svg.rect(LEFT, TOP, RIGHT - LEFT, BOTTOM - TOP, "none", Svg.INK);
    svg.text((LEFT + RIGHT) / 2, BOTTOM + 27, xTitle, Anchor.MIDDLE, SMALL);
    svg.text(11, (TOP + BOTTOM) / 2, yTitle, Anchor.MIDDLE, SMALL, Svg.INK, 90);
    legend(svg, curves);
    return svg.finish();
  }

  private static Scale xScale(List<Curve> curves) {
    double low = Double.POSITIVE_INFINITY;
    double high = Double.NEGATIVE_INFINITY;
    for (Curve curve : curves) {
      low = Math.min(low, curve.points.get(0).x);
      high = Math.max(high, curve.points.get(curve.points.size() - 1).x);
    }
    double margin = high > low ? (high - low) * 0.04 : 1;
    return Scale.linear(low - margin, high + margin, LEFT, RIGHT);
  }

  private static Scale yScale(List<Curve> curves) {
    double low = Double.POSITIVE_INFINITY;
    double high = 0;
    for (Curve curve : curves) {
      for (Point p : curve.points) {
        if (p.y > 0) {
          low = Math.min(low, p.y);
          high = Math.max(high, p.y);
        }
      }
    }
    if (high == 0) {
      return Scale.log(0.1, 1, BOTTOM, TOP);
    }
    double top = Math.ceil(Math.log10(high) + 1e-9);
    double bottom = Math.max(top - MOST_DECADES, Math.floor(Math.log10(low) - 1e-9));
    return Scale.log(Math.pow(10, bottom), Math.pow(10, top), BOTTOM, TOP);
  }

  private static void trace(Svg svg, Scale x, Scale y, Curve curve) {
    StringBuilder path = new StringBuilder();
    for (Point p : curve.points) {
      if (p.y > 0) {
        double px = x.at(p.x);
        double py = y.clamped(p.y);
        path.append(path.isEmpty() ? 'M' : 'L');
        path.append(Svg.number(px)).append(' ').append(Svg.number(py));
        if (!curve.line.dashed) {
          svg.circle(px, py, 1.8, curve.line.colour, "none");
        }
      }
    }
    if (!path.isEmpty()) {
      stroke(svg, path.toString(), curve.line);
    }
  }

  private static void stroke(Svg svg, String path, Line line) {
    if (line.dashed) {
      svg.dashed(path, line.colour, 1.3);
    } else {
      svg.path(path, "none", line.colour, 1.3);
    }
  }

  private static void legend(Svg svg, List<Curve> curves) {
    double columnWidth = (RIGHT - 8) / 2;
    for (int i = 0; i < curves.size(); i++) {
      double left = 8 + (i % 2) * columnWidth;
      double y = HEIGHT - 30 + (i / 2) * 13;
      stroke(svg, "M" + Svg.number(left) + " " + Svg.number(y) + "h20", curves.get(i).line);
      svg.text(left + 25, y + 3.3, curves.get(i).name, Anchor.START, SMALL);
    }
  }
}
