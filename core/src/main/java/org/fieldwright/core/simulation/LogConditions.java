package org.fieldwright.core.simulation;

import java.time.Instant;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * How a field log is taken: one probe at one place, for hours.
 *
 * @param start of the first sample
 * @param durationHours from the first sample to the last
 * @param intervalSeconds between samples
 * @param noisePpm standard deviation of a sample, ppm
 * @param driftPpmPerHour steady, positive when the field rises
 * @param wanderPpm standard deviation that a random walk gains in an hour, ppm
 * @param settling null if the field has settled
 * @param room null if no temperature is logged
 * @param gaps without any sample
 * @param steps sudden changes that stay
 */
public record LogConditions(
    Instant start,
    double durationHours,
    double intervalSeconds,
    double noisePpm,
    double driftPpmPerHour,
    double wanderPpm,
    @Nullable Settling settling,
    @Nullable Room room,
    List<Gap> gaps,
    List<Step> steps) {

  public LogConditions {
    gaps = List.copyOf(gaps);
    steps = List.copyOf(steps);
  }

  /** What is left of a ramp: amplitude·exp(−t/time constant), ppm and hours. */
  public record Settling(double amplitudePpm, double timeConstantHours) {}

  /** A room that warms by day: mean ± swing over 24 h, °C, and what the field makes of it. */
  public record Room(double meanC, double swingK, double ppmPerK) {}

  /** No samples from here, for so long; hours. */
  public record Gap(double atHours, double hours) {}

  /** A change that stays. */
  public record Step(double atHours, double ppm) {}
}
