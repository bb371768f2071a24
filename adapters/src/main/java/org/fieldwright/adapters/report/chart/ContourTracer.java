package org.fieldwright.adapters.report.chart;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * Outlines the parts of a grid where a value is at or above a level, by marching squares with
 * linear interpolation along the edges. The outlines are closed: at the border of the grid they run
 * along it, so that they can be filled (even-odd rule) as well as stroked.
 */
final class ContourTracer {
  private static final int DONE = -1;

  private final double[][] values;
  private final int rows;
  private final int columns;

  /**
   * @param values by row and column, at least 2 × 2
   */
  ContourTracer(double[][] values) {
    this.values = values;
    this.rows = values.length + 2; // one ring of nodes below every level, folded onto the border
    this.columns = values[0].length + 2;
  }

  /** A corner of an outline, in units of columns and rows of the grid. */
  record Corner(double column, double row) {}

  List<List<Corner>> outlines(double level) {
    int[] next = links(level);
    List<List<Corner>> loops = new ArrayList<>();
    for (int first = 0; first < next.length; first++) {
      if (next[first] != DONE) {
        loops.add(follow(next, first, level));
      }
    }
    return loops;
  }

  private List<Corner> follow(int[] next, int first, double level) {
    List<Corner> loop = new ArrayList<>();
    int edge = first;
    while (next[edge] != DONE) {
      loop.add(crossing(edge, level));
      int to = next[edge];
      next[edge] = DONE;
      edge = to;
    }
    return loop;
  }

  /**
   * For each cell edge where an outline enters a cell, the edge where it leaves. Going clockwise
   * about a cell, it enters where the value falls below the level and leaves where it rises again;
   * the neighbour sees the same edge the other way round, so the links close into loops.
   */
  private int[] links(double level) {
    int[] next = new int[2 * rows * columns];
    Arrays.fill(next, DONE);
    boolean[] high = new boolean[4];
    for (int r = 0; r + 1 < rows; r++) {
      for (int c = 0; c + 1 < columns; c++) {
        high[0] = value(r, c) >= level;
        high[1] = value(r, c + 1) >= level;
        high[2] = value(r + 1, c + 1) >= level;
        high[3] = value(r + 1, c) >= level;
        linkCell(next, r, c, high, level);
      }
    }
    return next;
  }

  private void linkCell(int[] next, int r, int c, boolean[] high, double level) {
    boolean saddle = high[0] == high[2] && high[1] == high[3] && high[0] != high[1];
    boolean throughCentre =
        saddle
            && value(r, c) + value(r, c + 1) + value(r + 1, c) + value(r + 1, c + 1) >= 4 * level;
    int way = saddle && !throughCentre ? 3 : 1;
    for (int side = 0; side < 4; side++) {
      if (high[side] && !high[(side + 1) % 4]) {
        int leave = (side + way) % 4;
        while (high[leave] || !high[(leave + 1) % 4]) {
          leave = (leave + way) % 4;
        }
        next[edge(r, c, side)] = edge(r, c, leave);
      }
    }
  }

  /** The edge's number: horizontal edges even, vertical ones odd, by their upper left node. */
  private int edge(int r, int c, int side) {
    return switch (side) {
      case 0 -> 2 * (r * columns + c);
      case 1 -> 2 * (r * columns + c + 1) + 1;
      case 2 -> 2 * ((r + 1) * columns + c);
      default -> 2 * (r * columns + c) + 1;
    };
  }

  private Corner crossing(int edge, double level) {
    int r = edge / 2 / columns;
    int c = edge / 2 % columns;
    int r2 = edge % 2 == 0 ? r : r + 1;
    int c2 = edge % 2 == 0 ? c + 1 : c;
    double from = value(r, c);
    double to = value(r2, c2);
    double f =
        Double.isInfinite(from) || Double.isInfinite(to) ? 0.5 : (level - from) / (to - from);
    return new Corner(
        folded(c, columns) * (1 - f) + folded(c2, columns) * f,
        folded(r, rows) * (1 - f) + folded(r2, rows) * f);
  }

  private double value(int r, int c) {
    boolean outside = r == 0 || c == 0 || r == rows - 1 || c == columns - 1;
    return outside ? Double.NEGATIVE_INFINITY : values[r - 1][c - 1];
  }

  /** Grid coordinate of a padded index; the ring lies on the border itself. */
  private static double folded(int index, int count) {
    return Math.max(0, Math.min(count - 3, index - 1));
  }
}
