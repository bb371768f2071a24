package org.fieldwright.adapters.report.chart;

import java.util.List;
import org.fieldwright.adapters.report.chart.Svg.Anchor;
import org.fieldwright.adapters.text.Numerals;

/** Every pocket of the bore, unrolled: trays across, pockets down, +z at the top. */
public final class TrayChart {
  private static final double WIDTH = 650;
  private static final double LEFT = 62;
  private static final double TOP = 22;
  private static final double SMALL = 9.5;

  private TrayChart() {}

  /**
   * A pocket after loading.
   *
   * @param column place of its tray, from 0
   * @param row place of its z from +z down, from 0
   * @param massGrams iron in it after loading
   * @param change what happens to it
   */
  public record Cell(int column, int row, double massGrams, Change change) {}

  /** What happens to a pocket. */
  public enum Change {
    NONE,
    MORE,
    LESS,
    FORBIDDEN
  }

  /**
   * Draws the chart.
   *
   * @param numerals how its numbers are written
   * @param trays labels in order
   * @param rows labels of z from +z down, with their unit
   */
  public static Markup draw(
      Numerals numerals, String name, List<String> trays, List<String> rows, List<Cell> cells) {
    double slot = (WIDTH - LEFT - 6) / trays.size();
    double rowHeight = Math.min(24, Math.max(11, 240.0 / rows.size()));
    double bottom = TOP + rows.size() * rowHeight;
    Svg svg = new Svg(WIDTH, bottom + 42, name);
    double heaviest = cells.stream().mapToDouble(Cell::massGrams).max().orElse(0);
    for (Cell cell : cells) {
      cell(
          svg,
          cell,
          LEFT + cell.column * slot,
          TOP + cell.row * rowHeight,
          slot,
          rowHeight,
          heaviest);
    }
    for (int i = 0; i < trays.size(); i++) {
      svg.text(LEFT + (i + 0.5) * slot, TOP - 7, trays.get(i), Anchor.MIDDLE, SMALL);
    }
    for (int i = 0; i < rows.size(); i++) {
      svg.text(LEFT - 5, TOP + (i + 0.5) * rowHeight + 3.3, rows.get(i), Anchor.END, SMALL);
    }
    svg.text(LEFT - 5, TOP - 7, "tray", Anchor.END, SMALL);
    svg.text(11, (TOP + bottom) / 2, "z, mm", Anchor.MIDDLE, SMALL, Svg.INK, 90);
    legend(svg, bottom + 14, numerals.significant(heaviest, 3));
    return svg.finish();
  }

  private static void cell(
      Svg svg, Cell cell, double x, double y, double width, double height, double heaviest) {
    String shade = heaviest > 0 ? shade(cell.massGrams / heaviest) : shade(0);
    svg.rect(x + 0.5, y + 0.5, width - 1, height - 1, shade, Svg.FAINT);
    double cx = x + width / 2;
    double cy = y + height / 2;
    String ink = heaviest > 0 && cell.massGrams > 0.55 * heaviest ? "#ffffff" : Svg.INK;
    switch (cell.change) {
      case NONE -> {}
      case MORE -> svg.text(cx, cy + 3.5, "+", Anchor.MIDDLE, 11, ink, 0);
      case LESS -> svg.text(cx, cy + 3.5, "−", Anchor.MIDDLE, 11, ink, 0);
      case FORBIDDEN -> svg.text(cx, cy + 3.5, "×", Anchor.MIDDLE, 11, Svg.GREY, 0);
    }
  }

  /** White to dark blue, even in lightness. */
  private static String shade(double fraction) {
    return DivergingColours.of(-0.9 * fraction);
  }

  private static void legend(Svg svg, double y, String most) {
    double x = LEFT;
    for (int i = 0; i <= 20; i++) {
      svg.rect(x + i * 5, y, 5, 9, shade(i / 20.0), "none");
    }
    svg.rect(x, y, 105, 9, "none", Svg.GREY);
    svg.text(x, y + 20, "0", Anchor.MIDDLE, SMALL);
    svg.text(x + 105, y + 20, most + " g", Anchor.MIDDLE, SMALL);
    svg.text(x + 122, y + 8, "iron in the pocket after loading", Anchor.START, SMALL);
    svg.text(x + 320, y + 8, "+ iron goes in", Anchor.START, SMALL);
    svg.text(x + 400, y + 8, "− iron comes out", Anchor.START, SMALL);
    svg.text(x + 495, y + 8, "× not to be changed", Anchor.START, SMALL);
  }
}
