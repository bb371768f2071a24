package org.fieldwright.adapters.report.chart;

import java.util.Locale;

/** The few shapes that the charts are made of. */
final class Svg {
  static final String INK = "#1a1a1a";
  static final String FAINT = "#d5d8dc";
  static final String GREY = "#6b7280";

  /** Two series that stay apart for every kind of colour vision (Okabe &amp; Ito 2008). */
  static final String BEFORE = "#d55e00";

  static final String AFTER = "#0072b2";

  private final Markup out = new Markup();

  /**
   * @param name what the chart shows, read out where pictures are not seen
   */
  Svg(double width, double height, String name) {
    out.open(
        "svg",
        "xmlns",
        "http://www.w3.org/2000/svg",
        "width",
        number(width),
        "height",
        number(height),
        "viewBox",
        "0 0 " + number(width) + " " + number(height),
        "role",
        "img",
        "alt",
        name,
        "aria-label",
        name);
    out.element("title", name);
  }

  Markup finish() {
    return out.close();
  }

  Svg line(double x1, double y1, double x2, double y2, String colour, double width) {
    out.empty(
        "line",
        "x1",
        number(x1),
        "y1",
        number(y1),
        "x2",
        number(x2),
        "y2",
        number(y2),
        "stroke",
        colour,
        "stroke-width",
        number(width));
    return this;
  }

  /**
   * @param fill colour or "none"
   * @param stroke colour or "none"
   */
  Svg rect(double x, double y, double width, double height, String fill, String stroke) {
    out.empty(
        "rect",
        "x",
        number(x),
        "y",
        number(y),
        "width",
        number(width),
        "height",
        number(height),
        "fill",
        fill,
        "stroke",
        stroke,
        "stroke-width",
        "0.8");
    return this;
  }

  Svg circle(double x, double y, double radius, String fill, String stroke) {
    out.empty(
        "circle",
        "cx",
        number(x),
        "cy",
        number(y),
        "r",
        number(radius),
        "fill",
        fill,
        "stroke",
        stroke,
        "stroke-width",
        "0.8");
    return this;
  }

  /**
   * @param path in SVG path syntax
   * @param fill colour or "none"
   * @param stroke colour or "none"
   */
  Svg path(String path, String fill, String stroke, double width) {
    out.empty(
        "path",
        "d",
        path,
        "fill",
        fill,
        "fill-rule",
        "evenodd",
        "stroke",
        stroke,
        "stroke-width",
        number(width));
    return this;
  }

  Svg dashed(String path, String stroke, double width) {
    out.empty(
        "path",
        "d",
        path,
        "fill",
        "none",
        "stroke",
        stroke,
        "stroke-width",
        number(width),
        "stroke-dasharray",
        "4 3");
    return this;
  }

  /** Where a text hangs on its point. */
  enum Anchor {
    START,
    MIDDLE,
    END;

    String id() {
      return name().toLowerCase(Locale.ROOT);
    }
  }

  Svg text(double x, double y, String text, Anchor anchor, double size) {
    return text(x, y, text, anchor, size, INK, 0);
  }

  /**
   * @param turn degrees, counter-clockwise, about the point
   */
  Svg text(
      double x, double y, String text, Anchor anchor, double size, String colour, double turn) {
    String place = "translate(" + number(x) + "," + number(y) + ")";
    out.element(
        "text",
        text,
        "transform",
        turn == 0 ? place : place + " rotate(" + number(-turn) + ")",
        "font-family",
        EmbeddedFont.SANS.family(),
        "font-size",
        number(size),
        "fill",
        colour,
        "text-anchor",
        anchor.id());
    return this;
  }

  /** A coordinate, to a hundredth of a pixel. */
  static String number(double v) {
    double rounded = Math.rint(v * 100) / 100;
    return rounded == Math.rint(rounded) ? Long.toString((long) rounded) : Double.toString(rounded);
  }
}
