package org.fieldwright.core.reading;

import org.jspecify.annotations.Nullable;

/**
 * Something found wrong with a survey beyond single readings, with what speaks for it and what to
 * do about it.
 *
 * @param what kind of mistake
 * @param words what was found, a whole sentence
 * @param evidence 2 ln of the odds that it explains the readings rather than chance does
 * @param estimate of its size; null where it has none
 * @param uncertainty one standard uncertainty of the estimate; null with it
 * @param unit of both; null with them
 * @param suggestion what to do, a whole sentence
 */
public record Finding(
    What what,
    String words,
    double evidence,
    @Nullable Double estimate,
    @Nullable Double uncertainty,
    @Nullable String unit,
    String suggestion) {

  /** Kinds of mistakes. */
  public enum What {
    EXCHANGED_PROBES("exchanged_probes"),
    DEAD_PROBE("dead_probe"),
    STICKING_PROBE("sticking_probe"),
    WIDE_REPEATS("wide_repeats"),
    REVISITS_APART("revisits_apart"),
    ARRAY_OFF_AXIS("array_off_axis"),
    ARRAY_BESIDE_AXIS("array_beside_axis"),
    SCATTER_ABOVE_STATED("scatter_above_stated"),
    SCATTER_BELOW_STATED("scatter_below_stated"),
    REPEATS_ABOVE_STATED("repeats_above_stated"),
    TURNED_THE_OTHER_WAY("turned_the_other_way"),
    END_FOR_END("end_for_end"),
    BOTH("turned_the_other_way_and_end_for_end");

    private final String id;

    What(String id) {
      this.id = id;
    }

    /** The name used in files. */
    public String id() {
      return id;
    }
  }

  /** A finding that is a plain yes or no. */
  static Finding of(What what, String words, double evidence, String suggestion) {
    return new Finding(what, words, evidence, null, null, null, suggestion);
  }

  /** Both sentences. */
  public String sentences() {
    return words + " " + suggestion;
  }
}
