package org.fieldwright.core.stability;

import java.util.List;

/**
 * A log after vetting: what is left for the trend, and what happened.
 *
 * <p>Time and field run over all samples of the log and are shared, not copied.
 */
final class VettedLog {
  private final double interval;
  private final double[] time;
  private final Deviating ppm;
  private final int[] steps;
  private final List<LogEvent> events;
  private final int unlisted;

  VettedLog(
      double interval,
      double[] time,
      Deviating ppm,
      int[] steps,
      List<LogEvent> events,
      int unlisted) {
    this.interval = interval;
    this.time = time;
    this.ppm = ppm;
    this.steps = steps;
    this.events = List.copyOf(events);
    this.unlisted = unlisted;
  }

  /** Gaps and lost locks beyond the first thousand of each. */
  int unlisted() {
    return unlisted;
  }

  /** Usual time from one sample to the next, s. */
  double interval() {
    return interval;
  }

  /** s since the start of the log. */
  double[] time() {
    return time;
  }

  /** Field; NaN where a sample is not used. */
  Deviating ppm() {
    return ppm;
  }

  /** Indices of the first samples after steps, increasing. */
  int[] steps() {
    return steps;
  }

  /** In the order of time. */
  List<LogEvent> events() {
    return events;
  }
}
