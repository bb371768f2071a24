package org.fieldwright.core.history;

import java.time.Instant;

/**
 * What people wrote down of a magnet's life.
 *
 * @param time a date without a time of day counts from its start
 * @param note in a few words; may be empty
 */
public record MagnetEvent(Instant time, Kind kind, String note) {

  /** What happened. */
  public enum Kind {
    MOVED("moved"),
    QUENCH("quench"),
    RAMPED("ramped"),
    SERVICE("service"),
    OTHER("other");

    private final String id;

    Kind(String id) {
      this.id = id;
    }

    /** The name used in files. */
    public String id() {
      return id;
    }

    /** Whether the field is a new one afterwards, whatever it was before. */
    public boolean setsField() {
      return this == QUENCH || this == RAMPED;
    }
  }
}
