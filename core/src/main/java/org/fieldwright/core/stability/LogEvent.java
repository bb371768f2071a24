package org.fieldwright.core.stability;

/**
 * Something that happened during a log.
 *
 * @param kind its name
 * @param firstSample index of the first sample it touches
 * @param lastSample index of the last; for a step or a gap, the first sample after it
 * @param start s since the start of the log
 * @param end s since the start of the log
 * @param sizePpm signed height of a step or largest departure of an excursion; 0 for gaps and lost
 *     locks
 */
public record LogEvent(
    Kind kind, int firstSample, int lastSample, double start, double end, double sizePpm) {

  /** What it looks like. The names say likeness, not cause. */
  public enum Kind {
    /** No samples for more than five intervals. */
    GAP("gap"),
    /** Samples without a value. */
    LOST_LOCK("lost_lock"),
    /** One or two samples far from their neighbours. */
    SPIKE("spike"),
    /** The field leaves its level and comes back with a rise and a fall, as when a train passes. */
    TRAIN_LIKE("train_like"),
    /** The field jumps to another level, stays and jumps back, as when a lift stops at a floor. */
    LIFT_LIKE("lift_like"),
    /** The level changes at once and stays changed. */
    STEP("step"),
    /** A step where another probe took over. */
    PROBE_CHANGE("probe_change"),
    /** The field falls by a tenth or more within a minute. Nothing after it is used. */
    QUENCH("quench");

    private final String id;

    Kind(String id) {
      this.id = id;
    }

    /** The name used in files. */
    public String id() {
      return id;
    }
  }

  /** s. */
  public double duration() {
    return end - start;
  }
}
