package org.fieldwright.adapters.report.chart;

import java.util.ArrayList;
import java.util.List;
import org.fieldwright.adapters.text.Numerals;

/**
 * Maps values onto pixels along one axis and finds round values to mark.
 *
 * @param low value at {@code start}
 * @param high value at {@code end}
 * @param logarithmic decades instead of equal steps; then both values are positive
 * @param start pixels
 * @param end pixels; may lie before {@code start}
 */
record Scale(double low, double high, boolean logarithmic, double start, double end) {

  static Scale linear(double low, double high, double start, double end) {
    return new Scale(low, high, false, start, end);
  }

  static Scale log(double low, double high, double start, double end) {
    return new Scale(low, high, true, start, end);
  }

  double at(double value) {
    double f =
        logarithmic ? Math.log(value / low) / Math.log(high / low) : (value - low) / (high - low);
    return start + f * (end - start);
  }

  /** At the nearer end where the value lies outside. */
  double clamped(double value) {
    return at(Math.max(low, Math.min(high, value)));
  }

  /** A marked value and how many decimals name it. */
  record Tick(double value, int decimals) {
    String label(Numerals numerals) {
      return numerals.decimals(value, decimals);
    }
  }

  /** Round values within the scale, about {@code about} of them on a linear scale. */
  List<Tick> ticks(int about) {
    return logarithmic ? decades() : steps(about);
  }

  private List<Tick> steps(int about) {
    double step = roundStep((high - low) / about);
    int decimals = decimalsOf(step);
    List<Tick> ticks = new ArrayList<>();
    for (long k = (long) Math.ceil(low / step - 1e-9); k * step <= high + step * 1e-9; k++) {
      ticks.add(new Tick(k * step, decimals));
    }
    return ticks;
  }

  private List<Tick> decades() {
    List<Tick> ticks = new ArrayList<>();
    int last = (int) Math.floor(Math.log10(high) + 1e-9);
    for (int e = (int) Math.ceil(Math.log10(low) - 1e-9); e <= last; e++) {
      ticks.add(new Tick(Math.pow(10, e), Math.max(0, -e)));
    }
    return ticks;
  }

  /** The smallest of 1, 2, 2.5, 5 times a power of ten that is not below {@code least}. */
  static double roundStep(double least) {
    double decade = Math.pow(10, Math.floor(Math.log10(least)));
    for (double f : new double[] {1, 2, 2.5, 5}) {
      if (f * decade >= least * (1 - 1e-9)) {
        return f * decade;
      }
    }
    return 10 * decade;
  }

  /** How many decimals a multiple of a round step needs. */
  static int decimalsOf(double step) {
    for (int d = 0; d < 9; d++) {
      double scaled = step * Math.pow(10, d);
      if (Math.abs(scaled - Math.rint(scaled)) < 1e-6 * scaled) {
        return d;
      }
    }
    return 9;
  }
}
