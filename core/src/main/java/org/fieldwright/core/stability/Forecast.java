package org.fieldwright.core.stability;

import java.util.ArrayList;
import java.util.List;
import org.fieldwright.core.homogeneity.GuardedAcceptance;
import org.jspecify.annotations.Nullable;

/** The trend continued beyond the log, and from when on it keeps a limit. */
final class Forecast {
  private static final double[] HOURS = {1, 24, 168, 720};

  /** How far a limit is looked for: twenty logs, at most ten years. */
  private static final double LOGS_AHEAD = 20;

  private static final double TEN_YEARS = 10 * 365.25 * 86400;
  private static final int SEARCH_POINTS = 4000;

  private final Trend trend;
  private final double steps;
  private final double end;
  private final CorrelatedRegression.Wander wander;

  /**
   * Of a trend.
   *
   * @param steps sum of the steps within the log, ppm
   * @param end of the log, s
   */
  Forecast(Trend trend, double steps, double end, CorrelatedRegression.Wander wander) {
    this.trend = trend;
    this.steps = steps;
    this.end = end;
    this.wander = wander;
  }

  /** At 1 h, 1 d, 7 d and 30 d after the log, as far as ten times its length. */
  List<StabilityReport.ForecastPoint> points() {
    List<StabilityReport.ForecastPoint> points = new ArrayList<>();
    for (double hours : HOURS) {
      double ahead = hours * Trend.SECONDS_PER_HOUR;
      if (ahead <= 10 * end) {
        double t = end + ahead;
        Estimate field = trend.fieldPpm(t);
        double u = Math.hypot(field.uncertainty(), Math.sqrt(wander.variance(ahead / end)));
        points.add(
            new StabilityReport.ForecastPoint(
                t, new Estimate(field.value() + steps, u), trend.ratePpmPerHour(t)));
      }
    }
    return points;
  }

  /**
   * Since when, or from when on, |rate| + k·u stays within the limit; null if not within the
   * search.
   *
   * @param limitPpmPerHour of |rate|
   */
  @Nullable Double inLimitFrom(double limitPpmPerHour) {
    double last = Math.min((1 + LOGS_AHEAD) * end, Math.max(end, TEN_YEARS));
    if (!within(last, limitPpmPerHour)) {
      return null;
    }
    double good = last;
    for (int i = SEARCH_POINTS; i >= 0; i--) {
      // Closer together towards the start, where decays are fast.
      double t = last * Math.pow((double) i / SEARCH_POINTS, 3);
      if (!within(t, limitPpmPerHour)) {
        return refined(t, good, limitPpmPerHour);
      }
      good = t;
    }
    return 0.0;
  }

  private double refined(double bad, double good, double limit) {
    double low = bad;
    double high = good;
    for (int i = 0; i < 50; i++) {
      double middle = (low + high) / 2;
      if (within(middle, limit)) {
        high = middle;
      } else {
        low = middle;
      }
    }
    return high;
  }

  private boolean within(double t, double limit) {
    Estimate rate = trend.ratePpmPerHour(t);
    return Math.abs(rate.value()) + GuardedAcceptance.DEFAULT_K * rate.uncertainty() <= limit;
  }
}
