package org.fieldwright.app.capture;

import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import org.fieldwright.core.reading.ProbeArray;
import org.fieldwright.core.reading.ProbeArray.Range;
import org.jspecify.annotations.Nullable;

/**
 * The range of frequency that a reader searches: narrow enough to be quick, wide enough for the
 * magnet.
 */
final class SearchWindow {
  /** Room beyond what is expected. */
  private static final double MARGIN = 1.5;

  private static final double EDGE = 0.125;

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

  /** What probes show, MHz, by their fields, T; null without a lock. */
  static List<@Nullable Double> shownMHz(List<@Nullable Double> fields, ProbeArray array) {
    List<@Nullable Double> shown = new ArrayList<>();
    for (Double field : fields) {
      shown.add(field == null ? null : (Double) (field * array.gammaMHzPerT()));
    }
    return shown;
  }

  /** What is said once it was widened. */
  static String widened(Range window) {
    return "Probes lie outside the window; it is now %.4f to %.4f MHz."
        .formatted(window.low(), window.high());
  }

  /** Twice as wide, as far as the reader goes. */
  static Range wider(Range window, Range whole) {
    double half = (window.high() - window.low()) / 2;
    return within(window.low() - half, window.high() + half, whole);
  }

  /**
   * Probes without a lock that may lie outside the window: those beside which the nearest that
   * locked reads close to an edge, and all of them where half or more did not lock. One that is
   * silent between neighbours well inside is broken or missed, and no wider window finds it.
   *
   * <p>Close is twice the largest difference between neighbours that locked, at the least {@value
   * #EDGE} of the window: from one probe to the next the field changes by about as much.
   *
   * @param shownMHz what each probe of the array shows, in its order; null without a lock
   * @return places in that order, from 0
   */
  static List<Integer> atTheEdge(List<@Nullable Double> shownMHz, Range window) {
    double close = EDGE * (window.high() - window.low());
    for (int i = 1; i < shownMHz.size(); i++) {
      Double one = shownMHz.get(i - 1);
      Double next = shownMHz.get(i);
      close = one == null || next == null ? close : Math.max(close, 2 * Math.abs(next - one));
    }
    long locked = shownMHz.stream().filter(Objects::nonNull).count();
    boolean lost = 2 * locked <= shownMHz.size();
    List<Integer> outside = new ArrayList<>();
    for (int i = 0; i < shownMHz.size(); i++) {
      Double below = nearest(shownMHz, i, -1);
      Double above = nearest(shownMHz, i, 1);
      boolean edge = isClose(below, close, window) || isClose(above, close, window);
      if (shownMHz.get(i) == null && (lost || edge)) {
        outside.add(i);
      }
    }
    return outside;
  }

  private static @Nullable Double nearest(List<@Nullable Double> shown, int from, int step) {
    for (int i = from + step; i >= 0 && i < shown.size(); i += step) {
      Double value = shown.get(i);
      if (value != null) {
        return value;
      }
    }
    return null;
  }

  private static boolean isClose(@Nullable Double value, double close, Range window) {
    return value != null && (value - window.low() < close || window.high() - value < close);
  }

  private static Range within(double low, double high, Range whole) {
    return new Range(Math.max(low, whole.low()), Math.min(high, whole.high()));
  }
}
