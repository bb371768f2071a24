package org.fieldwright.core.reading;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * The common drift from places that were read more than once: a straight line, or a {@link
 * DriftPath} where places visited at least three times tell that it bends.
 *
 * <p>Least squares of v = (a mean of its own for each place) + s·t: the slope comes from the
 * changes at each place alone, so it does not depend on any model of the field. Robust: it starts
 * from the median of the places' own slopes and leaves out places whose change is further from it
 * than five robust standard deviations.
 */
final class DriftFit {
  /** In robust standard deviations; a good revisit is lost once in two million. */
  private static final double FAR = 5;

  /** Below what any reader resolves: keeps rounding in noiseless data from looking like a fault. */
  private static final double LEAST_SCALE_PPM = 1e-4;

  private final double slope;
  private final double slopeUncertainty;
  private final double spread;
  private final int pairs;
  private final @Nullable DriftPath path;

  private DriftFit(
      double slope, double slopeUncertainty, double spread, int pairs, @Nullable DriftPath path) {
    this.slope = slope;
    this.slopeUncertainty = slopeUncertainty;
    this.spread = spread;
    this.pairs = pairs;
    this.path = path;
  }

  /** One way in which the drift may be wrong: ppm by time, one standard deviation. */
  @FunctionalInterface
  interface Pattern {
    double at(double clock);
  }

  /** The readings of one place: clock and value (ppm). */
  static final class Visits {
    private final double[] clock;
    private final double[] value;

    Visits(double[] clock, double[] value) {
      this.clock = clock;
      this.value = value;
    }

    int count() {
      return clock.length;
    }

    double[] clock() {
      return clock;
    }

    double[] value() {
      return value;
    }

    double clockSquare() {
      return scatter(clock, clock);
    }

    double slope() {
      return scatter(clock, value) / clockSquare();
    }

    private static double scatter(double[] a, double[] b) {
      double meanA = Arrays.stream(a).average().orElse(0);
      double meanB = Arrays.stream(b).average().orElse(0);
      double s = 0;
      for (int i = 0; i < a.length; i++) {
        s += (a[i] - meanA) * (b[i] - meanB);
      }
      return s;
    }

    /** Change left at this place beyond a slope, referred to its own span of the clock. */
    double closure(double slope) {
      return (slope() - slope) * Math.sqrt(clockSquare());
    }

    /** Σ of squared deviations of the values from a line of this slope through their mean. */
    double residualSquare(double slope) {
      double vv = scatter(value, value);
      double tv = scatter(clock, value);
      return Math.max(0, vv - 2 * slope * tv + slope * slope * clockSquare());
    }
  }

  /**
   * Fits the drift.
   *
   * @param all places with at least two readings at different clock values
   * @param readingPpm stated scatter of a reading, used where a single pair leaves none to see
   * @return null if there is no such place
   */
  static @Nullable DriftFit of(List<Visits> all, @Nullable Double readingPpm) {
    if (all.isEmpty()) {
      return null;
    }
    double slope = median(all.stream().mapToDouble(Visits::slope).toArray());
    List<Visits> used = all;
    for (int pass = 0; pass < 10; pass++) {
      List<Visits> near = near(all, slope);
      double better = commonSlope(near);
      boolean settled = near.size() == used.size() && better == slope;
      used = near;
      slope = better;
      if (settled) {
        break;
      }
    }
    return finish(used, slope, readingPpm);
  }

  private static List<Visits> near(List<Visits> all, double slope) {
    double[] away = all.stream().mapToDouble(v -> Math.abs(v.closure(slope))).toArray();
    double scale = Math.max(LEAST_SCALE_PPM, 1.4826 * median(away));
    if (all.size() < 4) {
      return all;
    }
    List<Visits> near = new ArrayList<>();
    for (Visits v : all) {
      if (Math.abs(v.closure(slope)) <= FAR * scale) {
        near.add(v);
      }
    }
    return near;
  }

  private static double commonSlope(List<Visits> used) {
    double top = 0;
    double bottom = 0;
    for (Visits v : used) {
      top += v.slope() * v.clockSquare();
      bottom += v.clockSquare();
    }
    return top / bottom;
  }

  private static DriftFit finish(List<Visits> used, double slope, @Nullable Double readingPpm) {
    double clockSquare = 0;
    double residual = 0;
    int free = -1; // the slope itself
    int pairs = 0;
    for (Visits v : used) {
      clockSquare += v.clockSquare();
      residual += v.residualSquare(slope);
      free += v.count() - 1;
      pairs += v.count() - 1;
    }
    DriftPath path = DriftPath.of(used, residual, readingPpm);
    if (path != null) {
      return new DriftFit(
          path.rate(), path.rateUncertainty(), path.scatter() * Math.sqrt(2), pairs, path);
    }
    double scatter = free > 0 ? Math.sqrt(residual / free) : Double.NaN;
    double perReading = readingPpm != null && !(scatter > readingPpm) ? readingPpm : scatter;
    return new DriftFit(
        slope,
        perReading / Math.sqrt(clockSquare),
        Double.isNaN(scatter) ? 0 : scatter * Math.sqrt(2),
        pairs,
        null);
  }

  static double median(double[] values) {
    double[] sorted = values.clone();
    Arrays.sort(sorted);
    int n = sorted.length;
    return n == 0
        ? Double.NaN
        : n % 2 == 1 ? sorted[n / 2] : (sorted[n / 2 - 1] + sorted[n / 2]) / 2;
  }

  /** Mean rate, ppm per unit of the clock. */
  double slope() {
    return slope;
  }

  /** Ppm by which the field rises from one instant of the clock to another. */
  double between(double from, double to) {
    return path == null ? slope * (to - from) : path.at(to) - path.at(from);
  }

  /** In which independent ways it may be wrong; none where nothing tells how far. */
  List<Pattern> errors() {
    if (path != null) {
      return path.errors();
    }
    return Double.isNaN(slopeUncertainty) ? List.of() : List.of(clock -> slopeUncertainty * clock);
  }

  /** Rates one after the other of a drift that bends; empty where it is straight. */
  double[] rates() {
    return path == null ? new double[0] : path.rates();
  }

  /** NaN where nothing tells: a single pair and no stated scatter. */
  double slopeUncertainty() {
    return slopeUncertainty;
  }

  /** Standard deviation across places of the change between two visits, drift removed, ppm. */
  double spread() {
    return spread;
  }

  int pairs() {
    return pairs;
  }
}
