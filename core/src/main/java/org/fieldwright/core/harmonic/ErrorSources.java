package org.fieldwright.core.harmonic;

import java.util.List;
import org.fieldwright.core.geometry.Vec3;
import org.jspecify.annotations.Nullable;

/**
 * What is known of a survey's errors before looking at its residuals; one standard uncertainty
 * each, null where nothing is stated.
 *
 * @param readingPpm scatter of one reading of weight one, ppm
 * @param position of a probe (or of a free point), each direction, m
 * @param angle of one setting of the array, rad
 * @param normalisationPpm of the probes against each other, ppm
 * @param fieldAxis along which the component is modelled where the readings are of |B|; null where
 *     they are of the component, or what |B| has beyond it was taken off
 * @param drift independent ways in which the drift that was removed may be wrong; empty where it is
 *     unknown
 */
public record ErrorSources(
    @Nullable Double readingPpm,
    @Nullable Double position,
    @Nullable Double angle,
    @Nullable Double normalisationPpm,
    @Nullable Vec3 fieldAxis,
    List<Pattern> drift) {

  public ErrorSources {
    drift = List.copyOf(drift);
  }

  /** An error common to all readings: ppm by row, one standard uncertainty. */
  @FunctionalInterface
  public interface Pattern {
    double at(int row);
  }
}
