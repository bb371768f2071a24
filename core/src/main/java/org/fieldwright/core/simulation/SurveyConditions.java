package org.fieldwright.core.simulation;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;

/**
 * How a survey with a turning array is taken.
 *
 * @param start of the first reading
 * @param anglesDeg where the array is turned to, in order
 * @param revisitsDeg angles read once more at the end
 * @param secondsPerReading from one probe to the next
 * @param secondsPerAngle from the last probe of an angle to the first of the next
 * @param averages repeats of one reading
 * @param noisePpm standard deviation of ONE repeat, ppm
 * @param angleErrorDeg standard deviation of the true angle about the stated one
 * @param driftPpmPerHour steady, positive when the field rises
 * @param wanderPpm standard deviation that a random walk of the field gains in an hour, ppm
 * @param faults put in on purpose
 */
public record SurveyConditions(
    Instant start,
    List<Double> anglesDeg,
    List<Double> revisitsDeg,
    double secondsPerReading,
    double secondsPerAngle,
    int averages,
    double noisePpm,
    double angleErrorDeg,
    double driftPpmPerHour,
    double wanderPpm,
    List<Fault> faults) {

  public SurveyConditions {
    anglesDeg = List.copyOf(anglesDeg);
    revisitsDeg = List.copyOf(revisitsDeg);
    faults = List.copyOf(faults);
  }

  /** Equal angles over the full turn, the first at 0°. */
  public static List<Double> equalAngles(int count) {
    List<Double> angles = new ArrayList<>();
    for (int i = 0; i < count; i++) {
      angles.add(360.0 * i / count);
    }
    return angles;
  }
}
