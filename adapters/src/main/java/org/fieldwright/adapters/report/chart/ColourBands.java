package org.fieldwright.adapters.report.chart;

/**
 * A scale of equal bands about zero, each with its colour.
 *
 * @param step width of a band, ppm
 * @param half number of bands on either side of zero
 */
public record ColourBands(double step, int half) {
  private static final int MOST_BANDS_A_SIDE = 10;

  /** Round bands that reach at least to the largest magnitude of any of the grids. */
  public static ColourBands covering(FieldGrid... grids) {
    double largest = 1e-6;
    for (FieldGrid grid : grids) {
      largest = Math.max(largest, grid.largestMagnitude());
    }
    double step = Scale.roundStep(largest / MOST_BANDS_A_SIDE);
    return new ColourBands(step, (int) Math.ceil(largest / step - 1e-9));
  }

  /**
   * The colour between {@code band} and {@code band + 1} steps.
   *
   * @param band from −half to half − 1
   */
  String colour(int band) {
    return DivergingColours.of((band + 0.5) / half);
  }

  /** The band a value lies in; the outermost for values beyond the scale. */
  int band(double value) {
    return Math.max(-half, Math.min(half - 1, (int) Math.floor(value / step)));
  }

  /** The largest value of the scale, ppm. */
  public double end() {
    return half * step;
  }
}
