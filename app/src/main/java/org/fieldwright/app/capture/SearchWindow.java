package org.fieldwright.app.capture;

import org.fieldwright.core.reading.ProbeArray.Range;

/**
 * The range of frequency that a reader searches: narrow enough to be quick, wide enough for the
 * magnet.
 */
final class SearchWindow {
  /** Room beyond what is expected. */
  private static final double MARGIN = 1.5;

  private SearchWindow() {}

  /**
   * A window about the frequency of one probe. That probe may stand anywhere in the field, so the
   * others are looked for the whole expected inhomogeneity to either side of it.
   *
   * @param expectedPpm from peak to peak
   */
  static Range about(double frequencyMHz, double expectedPpm, Range whole) {
    double half = MARGIN * expectedPpm * 1e-6 * frequencyMHz;
    return within(frequencyMHz - half, frequencyMHz + half, whole);
  }

  /** Twice as wide, as far as the reader goes. */
  static Range wider(Range window, Range whole) {
    double half = (window.high() - window.low()) / 2;
    return within(window.low() - half, window.high() + half, whole);
  }

  private static Range within(double low, double high, Range whole) {
    return new Range(Math.max(low, whole.low()), Math.min(high, whole.high()));
  }
}
