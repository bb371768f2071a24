package org.fieldwright.core.reading;

/**
 * A reading that holds a value, ready for the fit.
 *
 * @param reading as the file gave it
 * @param clock hours since an arbitrary start, or the step in the order of taking
 * @param ppm after the probe's offset, before drift, ppm of the survey's reference field
 */
record Visit(Reading reading, double clock, double ppm) {

  /** Ppm once a drift of this slope is referred to this instant of the clock. */
  double corrected(double slope, double reference) {
    return ppm - slope * (clock - reference);
  }
}
