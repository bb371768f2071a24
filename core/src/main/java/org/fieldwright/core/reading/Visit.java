package org.fieldwright.core.reading;

import org.jspecify.annotations.Nullable;

/**
 * A reading that holds a value, ready for the fit.
 *
 * @param reading as the file gave it
 * @param clock hours since an arbitrary start, or the step in the order of taking
 * @param ppm after the probe's offset, before drift, ppm of the survey's reference field
 */
record Visit(Reading reading, double clock, double ppm) {

  // Visits are compared within one survey, where a row holds one reading. A record's own pair would
  // also be linked at its first use, 10 ms of an assessment's start.
  @Override
  public int hashCode() {
    return reading.row();
  }

  @Override
  public boolean equals(@Nullable Object other) {
    return other instanceof Visit visit && visit.reading.row() == reading.row();
  }

  /** Ppm once the drift, if it is known, is referred to this instant of the clock. */
  double corrected(@Nullable DriftFit drift, double reference) {
    return drift == null ? ppm : ppm - drift.between(reference, clock);
  }
}
