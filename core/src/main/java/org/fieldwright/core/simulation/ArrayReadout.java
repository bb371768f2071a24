package org.fieldwright.core.simulation;

import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.reading.ProbeArray;
import org.fieldwright.core.simulation.ArrayState.ProbeState;
import org.fieldwright.core.simulation.Fault.NoLock;
import org.fieldwright.core.simulation.Fault.Outlier;
import org.fieldwright.core.simulation.Fault.ProbeOffset;
import org.fieldwright.core.simulation.Fault.WrongAngle;
import org.fieldwright.core.simulation.Fault.WrongFrequency;
import org.jspecify.annotations.Nullable;

/**
 * What the probes of a turned array show: |B| where each truly is; position, angle, offset and the
 * noise of every repeat come on top, and the faults that were asked for.
 */
final class ArrayReadout {
  private final VirtualMagnet magnet;
  private final ProbeArray array;
  private final SurveyConditions conditions;
  private final Draws draws;
  private double angleDeg;
  private double trueAngle;
  private boolean first;
  private Vec3 centre = Vec3.ZERO;

  ArrayReadout(VirtualMagnet magnet, ProbeArray array, SurveyConditions conditions, Draws draws) {
    this.magnet = magnet;
    this.array = array;
    this.conditions = conditions;
    this.draws = draws;
  }

  /**
   * Turns the array.
   *
   * @param firstVisit faults strike at the first visit of an angle; a revisit is sound
   */
  void turn(double toDeg, boolean firstVisit) {
    angleDeg = toDeg;
    first = firstVisit;
    double errorDeg = conditions.angleErrorDeg() * draws.normal();
    for (Fault fault : conditions.faults()) {
      if (first && fault instanceof WrongAngle wrong && wrong.angleDeg() == angleDeg) {
        errorDeg += wrong.errorDeg();
      }
    }
    trueAngle = Math.toRadians(angleDeg + errorDeg);
  }

  /** Where the array's centre really is, m. */
  void centre(Vec3 at) {
    centre = at;
  }

  /**
   * What a probe shows.
   *
   * @param field T; null if it did not lock
   * @param sd standard deviation of one repeat, T
   */
  record Shown(@Nullable Double field, double sd) {}

  /**
   * Reads a probe.
   *
   * @param commonPpm what drift and wander add to the field at this moment
   */
  Shown read(ProbeState probe, double commonPpm) {
    int id = probe.probe().id();
    double field = magnet.magnitude(probe.at(trueAngle).plus(centre));
    double ppm = commonPpm + probe.probe().offsetPpm() + probe.offsetPpm();
    boolean locked = true;
    Double shown = null;
    for (Fault fault : conditions.faults()) {
      if (fault instanceof ProbeOffset offset && offset.probe() == id) {
        ppm += offset.ppm();
      } else if (fault instanceof Outlier f && strikes(f.probe(), f.angleDeg(), id)) {
        ppm += f.ppm();
      } else if (fault instanceof NoLock f && strikes(f.probe(), f.angleDeg(), id)) {
        locked = false;
      } else if (fault instanceof WrongFrequency f && strikes(f.probe(), f.angleDeg(), id)) {
        shown = f.frequencyMHz() / array.gammaMHzPerT();
      }
    }
    Repeats repeats = repeats();
    Double value = shown != null ? shown : (Double) (field * (1 + 1e-6 * (ppm + repeats.mean())));
    return new Shown(locked ? value : null, repeats.sd() * 1e-6 * field);
  }

  private boolean strikes(int probe, double atDeg, int id) {
    return first && probe == id && atDeg == angleDeg;
  }

  /** Mean and sample standard deviation of the repeats, ppm. */
  private record Repeats(double mean, double sd) {}

  private Repeats repeats() {
    double mean = 0;
    double squares = 0;
    for (int i = 1; i <= conditions.averages(); i++) {
      double value = conditions.noisePpm() * draws.normal();
      double step = value - mean;
      mean += step / i;
      squares += step * (value - mean);
    }
    double sd = conditions.averages() > 1 ? Math.sqrt(squares / (conditions.averages() - 1)) : 0;
    return new Repeats(mean, sd);
  }
}
