package org.fieldwright.core.harmonic;

import org.jspecify.annotations.Nullable;

/**
 * What is known of a survey's errors before looking at its residuals; one standard uncertainty
 * each, null where nothing is stated.
 *
 * @param readingPpm scatter of one reading of weight one, ppm
 * @param position of a probe (or of a free point), each direction, m
 * @param angle of one setting of the array, rad
 * @param normalisationPpm of the probes against each other, ppm
 * @param driftPpmPerHour of the removed drift, ppm/h (or per unit of whatever clock {@link
 *     #elapsed} counts)
 * @param elapsed time of each row since the reading that all are referred to
 */
public record ErrorSources(
    @Nullable Double readingPpm,
    @Nullable Double position,
    @Nullable Double angle,
    @Nullable Double normalisationPpm,
    @Nullable Double driftPpmPerHour,
    Elapsed elapsed) {

  /** Time of a row since the reference, in the unit of the drift. */
  @FunctionalInterface
  public interface Elapsed {
    double at(int row);
  }
}
