package org.fieldwright.adapters.report.chart;

import java.util.List;
import org.fieldwright.adapters.report.chart.Scale.Tick;
import org.fieldwright.adapters.report.chart.Svg.Anchor;
import org.fieldwright.adapters.text.Numerals;
import org.jspecify.annotations.Nullable;

/** Coefficients as bars from zero, with error bars, beside their predicted values. */
public final class HarmonicBars {
  private static final double WIDTH = 650;
  private static final double HEIGHT = 250;
  private static final double LEFT = 52;
  private static final double RIGHT = WIDTH - 6;
  private static final double TOP = 22;
  private static final double BOTTOM = HEIGHT - 52;
  private static final double SMALL = 9.5;

  private HarmonicBars() {}

  /**
   * One term.
   *
   * @param degree terms of one degree stand together
   * @param value ppm
   * @param uncertainty half the error bar, ppm
   * @param after ppm; null where nothing is planned
   */
  public record Bar(
      String name, int degree, double value, double uncertainty, @Nullable Double after) {}

  /**
   * Draws the chart.
   *
   * @param afterName what the second bars are, for the legend; null where there are none
   */
  public static Markup draw(
      Numerals numerals, String name, List<Bar> bars, @Nullable String afterName) {
    Svg svg = new Svg(WIDTH, HEIGHT, name);
    Scale y = scale(bars);
    double slot = (RIGHT - LEFT) / bars.size();
    for (Tick tick : y.ticks(6)) {
      double at = y.at(tick.value());
      svg.line(LEFT, at, RIGHT, at, Svg.FAINT, 0.6);
      svg.text(LEFT - 5, at + 3.3, tick.label(numerals), Anchor.END, SMALL);
    }
    for (int i = 0; i < bars.size(); i++) {
      double left = LEFT + i * slot;
      if (i == 0 || bars.get(i).degree != bars.get(i - 1).degree) {
        svg.line(left, TOP, left, BOTTOM + 4, Svg.FAINT, 0.8);
        svg.text(left + 5, TOP + 9, "n = " + bars.get(i).degree, Anchor.START, 8, Svg.GREY, 0);
      }
      bar(svg, y, bars.get(i), left, slot);
    }
    svg.line(LEFT, y.at(0), RIGHT, y.at(0), Svg.INK, 0.8);
    svg.rect(LEFT, TOP, RIGHT - LEFT, BOTTOM - TOP, "none", Svg.INK);
    svg.text(11, (TOP + BOTTOM) / 2, "coefficient, ppm", Anchor.MIDDLE, SMALL, Svg.INK, 90);
    legend(svg, afterName);
    return svg.finish();
  }

  private static Scale scale(List<Bar> bars) {
    double low = 0;
    double high = 0;
    for (Bar bar : bars) {
      double after = bar.after == null ? 0 : bar.after;
      low = Math.min(low, Math.min(bar.value - bar.uncertainty, after));
      high = Math.max(high, Math.max(bar.value + bar.uncertainty, after));
    }
    double margin = Math.max(1e-6, (high - low) * 0.08);
    return Scale.linear(low - margin, high + margin, BOTTOM, TOP);
  }

  private static void bar(Svg svg, Scale y, Bar bar, double left, double slot) {
    boolean pair = bar.after != null;
    double width = slot * (pair ? 0.4 : 0.64);
    double x = left + slot * (pair ? 0.08 : 0.18);
    column(svg, x, width, y.at(0), y.at(bar.value), Svg.BEFORE);
    double middle = x + width / 2;
    double up = y.at(bar.value + bar.uncertainty);
    double down = y.at(bar.value - bar.uncertainty);
    double cap = Math.min(2.5, width / 2);
    svg.line(middle, up, middle, down, Svg.INK, 0.8);
    svg.line(middle - cap, up, middle + cap, up, Svg.INK, 0.8);
    svg.line(middle - cap, down, middle + cap, down, Svg.INK, 0.8);
    if (bar.after != null) {
      column(svg, x + width + slot * 0.04, width, y.at(0), y.at(bar.after), Svg.AFTER);
    }
    double centre = left + slot / 2;
    if (slot > 34) {
      svg.text(centre, BOTTOM + 14, bar.name, Anchor.MIDDLE, SMALL);
    } else {
      svg.text(centre + 3, BOTTOM + 6, bar.name, Anchor.END, 8.5, Svg.INK, 90);
    }
  }

  private static void column(
      Svg svg, double x, double width, double zero, double value, String colour) {
    svg.rect(x, Math.min(zero, value), width, Math.abs(value - zero), colour, "none");
  }

  private static void legend(Svg svg, @Nullable String afterName) {
    svg.rect(LEFT, 4, 9, 9, Svg.BEFORE, "none");
    svg.text(LEFT + 13, 12, "as found, with expanded uncertainty", Anchor.START, SMALL);
    if (afterName != null) {
      svg.rect(LEFT + 250, 4, 9, 9, Svg.AFTER, "none");
      svg.text(LEFT + 263, 12, afterName, Anchor.START, SMALL);
    }
  }
}
