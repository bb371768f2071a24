package org.fieldwright.adapters.report.chart;

import java.util.List;
import java.util.Locale;
import org.fieldwright.adapters.report.chart.ContourTracer.Corner;
import org.fieldwright.adapters.report.chart.Svg.Anchor;
import org.fieldwright.adapters.text.Numerals;
import org.fieldwright.core.geometry.Vec3;

/** The field over a surface, unrolled: azimuth across, polar angle down, filled contours. */
public final class FieldMapChart {
  private static final double WIDTH = 650;
  private static final double HEIGHT = 250;
  private static final double LEFT = 62;
  private static final double TOP = 8;
  private static final double MAP_WIDTH = 472;
  private static final double MAP_HEIGHT = 202;
  private static final double SMALL = 10;

  private final Numerals numerals;
  private final FieldGrid grid;
  private final ColourBands bands;
  private final Svg svg;

  private FieldMapChart(Numerals numerals, FieldGrid grid, ColourBands bands, String name) {
    this.numerals = numerals;
    this.grid = grid;
    this.bands = bands;
    this.svg = new Svg(WIDTH, HEIGHT, name);
  }

  /** Where something stands on the map. */
  public enum Mark {
    /** A reading that is used. */
    USED,
    /** A reading that is set aside. */
    SET_ASIDE,
    /** The largest value. */
    MAXIMUM,
    /** The smallest value. */
    MINIMUM
  }

  /** A mark in the direction of a place, seen from the isocentre. */
  public record Place(Mark mark, Vec3 at) {}

  /**
   * Draws the chart.
   *
   * @param numerals how its numbers are written
   * @param bands the colour scale, which several maps may share
   * @param name what the map shows, for readers who do not see it
   */
  public static Markup draw(
      Numerals numerals, FieldGrid grid, ColourBands bands, List<Place> places, String name) {
    FieldMapChart chart = new FieldMapChart(numerals, grid, bands, name);
    chart.fill();
    chart.zeroLine();
    places.forEach(chart::place);
    chart.axes();
    chart.colourBar();
    return chart.svg.finish();
  }

  private void fill() {
    int lowest = bands.band(grid.smallest());
    svg.rect(LEFT, TOP, MAP_WIDTH, MAP_HEIGHT, bands.colour(lowest), "none");
    ContourTracer tracer = new ContourTracer(grid.ppm());
    for (int band = lowest + 1; band < bands.half(); band++) {
      String outline = path(tracer.outlines(band * bands.step()));
      if (outline.isEmpty()) {
        return;
      }
      svg.path(outline, bands.colour(band), "none", 0);
    }
  }

  private void zeroLine() {
    String outline = path(new ContourTracer(grid.ppm()).outlines(0));
    if (!outline.isEmpty()) {
      svg.path(outline, "none", Svg.INK, 0.9);
    }
  }

  private String path(List<List<Corner>> outlines) {
    StringBuilder path = new StringBuilder();
    double perColumn = MAP_WIDTH / (grid.ppm()[0].length - 1);
    double perRow = MAP_HEIGHT / (grid.ppm().length - 1);
    for (List<Corner> outline : outlines) {
      char command = 'M';
      for (Corner corner : outline) {
        path.append(command)
            .append(Svg.number(LEFT + corner.column() * perColumn))
            .append(' ')
            .append(Svg.number(TOP + corner.row() * perRow));
        command = 'L';
      }
      path.append('Z');
    }
    return path.toString();
  }

  private void place(Place place) {
    double azimuth = place.at().azimuth();
    double x = LEFT + MAP_WIDTH * ((azimuth + 2 * Math.PI) % (2 * Math.PI)) / (2 * Math.PI);
    double y = TOP + MAP_HEIGHT * place.at().polar() / Math.PI;
    switch (place.mark()) {
      case USED -> svg.circle(x, y, 0.7, Svg.GREY, "none");
      case SET_ASIDE -> svg.path(cross(x, y), "none", Svg.INK, 1.2);
      case MAXIMUM -> svg.path(triangle(x, y, -5), "#ffffff", Svg.INK, 1);
      case MINIMUM -> svg.path(triangle(x, y, 5), "#ffffff", Svg.INK, 1);
    }
  }

  private static String cross(double x, double y) {
    return String.format(Locale.ROOT, "M%.2f %.2fl6 6M%.2f %.2fl-6 6", x - 3, y - 3, x + 3, y - 3);
  }

  private static String triangle(double x, double y, double size) {
    return String.format(
        Locale.ROOT,
        "M%.2f %.2fL%.2f %.2fL%.2f %.2fZ",
        x,
        y + size,
        x - 5,
        y - 0.7 * size,
        x + 5,
        y - 0.7 * size);
  }

  private void axes() {
    svg.rect(LEFT, TOP, MAP_WIDTH, MAP_HEIGHT, "none", Svg.INK);
    for (int degrees = 0; degrees <= 360; degrees += 45) {
      double x = LEFT + MAP_WIDTH * degrees / 360;
      svg.line(x, TOP + MAP_HEIGHT, x, TOP + MAP_HEIGHT + 4, Svg.INK, 0.8);
      svg.text(x, TOP + MAP_HEIGHT + 15, degrees + "°", Anchor.MIDDLE, SMALL);
    }
    for (int degrees = 0; degrees <= 180; degrees += 30) {
      double y = TOP + MAP_HEIGHT * degrees / 180;
      svg.line(LEFT - 4, y, LEFT, y, Svg.INK, 0.8);
      svg.text(LEFT - 7, y + 3.5, degrees + "°", Anchor.END, SMALL);
    }
    svg.text(LEFT + MAP_WIDTH / 2, TOP + MAP_HEIGHT + 31, "azimuth φ", Anchor.MIDDLE, SMALL);
    double middle = TOP + MAP_HEIGHT / 2;
    svg.text(14, middle, "polar angle θ", Anchor.MIDDLE, SMALL, Svg.INK, 90);
    svg.text(20, TOP + 8, "+z", Anchor.MIDDLE, SMALL);
    svg.text(20, TOP + MAP_HEIGHT, "−z", Anchor.MIDDLE, SMALL);
  }

  private void colourBar() {
    double left = LEFT + MAP_WIDTH + 26;
    double height = MAP_HEIGHT / (2 * bands.half());
    int decimals = Scale.decimalsOf(bands.step());
    int every = bands.half() > 5 ? 2 : 1;
    for (int band = -bands.half(); band < bands.half(); band++) {
      double top = TOP + MAP_HEIGHT - (band + bands.half() + 1) * height;
      svg.rect(left, top, 16, height, bands.colour(band), bands.colour(band));
    }
    svg.rect(left, TOP, 16, MAP_HEIGHT, "none", Svg.INK);
    for (int k = -bands.half(); k <= bands.half(); k++) {
      if (k % every == 0) {
        double y = TOP + MAP_HEIGHT - (k + bands.half()) * height;
        svg.line(left + 16, y, left + 20, y, Svg.INK, 0.8);
        String label = numerals.signed(k * bands.step(), decimals);
        svg.text(left + 23, y + 3.5, label, Anchor.START, SMALL);
      }
    }
    double middle = TOP + MAP_HEIGHT / 2;
    svg.text(WIDTH - 4, middle, "field − centre field, ppm", Anchor.MIDDLE, SMALL, Svg.INK, 90);
  }
}
