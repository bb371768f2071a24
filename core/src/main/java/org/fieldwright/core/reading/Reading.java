package org.fieldwright.core.reading;

import java.time.Instant;
import java.util.List;
import org.fieldwright.core.geometry.Vec3;
import org.jspecify.annotations.Nullable;

/**
 * One value at one place, as the file gave it.
 *
 * @param row physical row in the file, 1-based, comments and header counted
 * @param probe id of the probe; null for free points
 * @param angleDeg stated angle of the array, degrees as written; null for free points
 * @param position metres
 * @param field tesla; null where the row holds no value
 * @param sd standard deviation of ONE repeat, tesla; null if not given
 * @param averages how many repeats; null if not given
 * @param locked how many of them locked; null if unknown
 * @param time null if not given
 * @param turn order in which it was taken; null if not given
 */
public record Reading(
    int row,
    @Nullable Integer probe,
    @Nullable Double angleDeg,
    Vec3 position,
    @Nullable Double field,
    @Nullable Double sd,
    @Nullable Integer averages,
    @Nullable Integer locked,
    @Nullable Instant time,
    @Nullable Integer turn) {

  /** Standard deviation of the mean of its repeats, T; 0 where none is given. */
  public double deviation() {
    if (sd == null) {
      return 0;
    }
    Integer repeats = locked != null ? locked : averages;
    return sd / Math.sqrt(repeats == null ? 1 : Math.max(1, repeats));
  }

  /** Geometric mean of what is known of some readings' own scatter, T; 0 where nothing is. */
  public static double typicalDeviation(List<Reading> readings) {
    double sum = 0;
    int known = 0;
    for (Reading r : readings) {
      double deviation = r.deviation();
      if (deviation > 0) {
        sum += Math.log(deviation);
        known++;
      }
    }
    return known == 0 ? 0 : Math.exp(sum / known);
  }

  /** √weight: 1 for a reading that scatters as is typical, or that does not say how it does. */
  public double rootWeight(double typicalDeviation) {
    double deviation = deviation();
    return deviation > 0 ? typicalDeviation / deviation : 1;
  }

  /** The same value if another probe of the array took it. */
  Reading by(Probe other) {
    if (angleDeg == null) {
      throw new IllegalStateException("row " + row + " has no angle");
    }
    Vec3 there = Vec3.spherical(other.radius(), other.polar(), Math.toRadians(angleDeg));
    return new Reading(row, other.id(), angleDeg, there, field, sd, averages, locked, time, turn);
  }
}
