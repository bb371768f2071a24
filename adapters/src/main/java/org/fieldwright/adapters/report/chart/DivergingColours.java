package org.fieldwright.adapters.report.chart;

import java.util.Locale;

/**
 * Colours for signed values: blue below zero, near white at zero, red above. The anchors are the
 * eleven of ColorBrewer's "RdBu" (Brewer, Hatchard &amp; Harrower 2003; colour-blind safe), joined
 * by straight lines in CIE L*a*b* (D65) and re-spaced so that equal steps of the value are equal
 * colour differences ΔE*ab along each arm.
 */
final class DivergingColours {
  private static final int[] ANCHORS = {
    0x053061, 0x2166ac, 0x4393c3, 0x92c5de, 0xd1e5f0, 0xf7f7f7, 0xfddbc7, 0xf4a582, 0xd6604d,
    0xb2182b, 0x67001f
  };
  private static final double[] WHITE = {0.95047, 1, 1.08883};
  private static final double[][] LAB = labAnchors();

  private DivergingColours() {}

  /**
   * The colour of a value as #rrggbb.
   *
   * @param signed −1 (deepest blue) to 1 (deepest red); beyond, the end's colour
   */
  static String of(double signed) {
    double[] rgb = toRgb(lab(signed));
    return String.format(
        Locale.ROOT,
        "#%02x%02x%02x",
        Math.round(255 * rgb[0]),
        Math.round(255 * rgb[1]),
        Math.round(255 * rgb[2]));
  }

  /** L*, a*, b*. */
  static double[] lab(double signed) {
    int middle = ANCHORS.length / 2;
    int direction = signed < 0 ? -1 : 1;
    double left = Math.min(1, Math.abs(signed)) * armLength(direction);
    for (int i = middle; ; i += direction) {
      double[] from = LAB[i];
      double[] to = LAB[i + direction];
      double length = difference(from, to);
      boolean last = i + direction == 0 || i + direction == ANCHORS.length - 1;
      if (left <= length || last) {
        double f = Math.min(1, left / length);
        return new double[] {
          from[0] + f * (to[0] - from[0]),
          from[1] + f * (to[1] - from[1]),
          from[2] + f * (to[2] - from[2])
        };
      }
      left -= length;
    }
  }

  /** ΔE*ab (CIE 1976). */
  static double difference(double[] p, double[] q) {
    return Math.sqrt(
        (p[0] - q[0]) * (p[0] - q[0])
            + (p[1] - q[1]) * (p[1] - q[1])
            + (p[2] - q[2]) * (p[2] - q[2]));
  }

  private static double armLength(int direction) {
    double sum = 0;
    int steps = ANCHORS.length / 2;
    for (int k = 0; k < steps; k++) {
      int i = steps + k * direction;
      sum += difference(LAB[i], LAB[i + direction]);
    }
    return sum;
  }

  private static double[][] labAnchors() {
    double[][] lab = new double[ANCHORS.length][];
    for (int i = 0; i < lab.length; i++) {
      lab[i] = toLab(ANCHORS[i]);
    }
    return lab;
  }

  private static double[] toLab(int rgb) {
    double r = linear((rgb >> 16 & 255) / 255.0);
    double g = linear((rgb >> 8 & 255) / 255.0);
    double b = linear((rgb & 255) / 255.0);
    double x = compress((0.4124564 * r + 0.3575761 * g + 0.1804375 * b) / WHITE[0]);
    double y = compress((0.2126729 * r + 0.7151522 * g + 0.0721750 * b) / WHITE[1]);
    double z = compress((0.0193339 * r + 0.1191920 * g + 0.9503041 * b) / WHITE[2]);
    return new double[] {116 * y - 16, 500 * (x - y), 200 * (y - z)};
  }

  private static double[] toRgb(double[] lab) {
    double fy = (lab[0] + 16) / 116;
    double x = WHITE[0] * expand(fy + lab[1] / 500);
    double y = WHITE[1] * expand(fy);
    double z = WHITE[2] * expand(fy - lab[2] / 200);
    return new double[] {
      encoded(3.2404542 * x - 1.5371385 * y - 0.4985314 * z),
      encoded(-0.9692660 * x + 1.8760108 * y + 0.0415560 * z),
      encoded(0.0556434 * x - 0.2040259 * y + 1.0572252 * z)
    };
  }

  /** sRGB (IEC 61966-2-1) to linear light. */
  private static double linear(double v) {
    return v <= 0.04045 ? v / 12.92 : Math.pow((v + 0.055) / 1.055, 2.4);
  }

  private static double encoded(double v) {
    double c = Math.max(0, Math.min(1, v));
    return c <= 0.0031308 ? 12.92 * c : 1.055 * Math.pow(c, 1 / 2.4) - 0.055;
  }

  private static double compress(double t) {
    return t > 216.0 / 24389 ? Math.cbrt(t) : (24389.0 / 27 * t + 16) / 116;
  }

  private static double expand(double f) {
    double cube = f * f * f;
    return cube > 216.0 / 24389 ? cube : (116 * f - 16) * 27 / 24389;
  }
}
