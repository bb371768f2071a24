package org.fieldwright.core.simulation;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.reading.ProbeArray;
import org.fieldwright.core.reading.Reading;
import org.fieldwright.core.reading.Survey;
import org.fieldwright.core.simulation.ArrayState.ProbeState;
import org.fieldwright.core.simulation.Fault.NoLock;
import org.fieldwright.core.simulation.Fault.Outlier;
import org.fieldwright.core.simulation.Fault.ProbeOffset;
import org.fieldwright.core.simulation.Fault.WrongAngle;
import org.fieldwright.core.simulation.Fault.WrongFrequency;
import org.jspecify.annotations.Nullable;

/**
 * Takes a survey of a virtual magnet as an array would: probe by probe, angle by angle, while the
 * field drifts. A probe reads |B| where it truly is; position, angle, offset, drift, wander and the
 * noise of every repeat come on top, and the faults that were asked for.
 */
public final class SurveySimulator {
  private static final int SURVEY = 5;
  private static final double SECONDS_PER_HOUR = 3600;

  private final VirtualMagnet magnet;
  private final ProbeArray array;
  private final ArrayState state;
  private final SurveyConditions conditions;
  private final Draws draws;
  private final List<Reading> readings = new ArrayList<>();
  private final int firstRow;
  private double elapsed;
  private double wander;

  private SurveySimulator(
      VirtualMagnet magnet,
      ProbeArray array,
      ArrayState state,
      SurveyConditions conditions,
      int firstRow,
      Draws draws) {
    this.magnet = magnet;
    this.array = array;
    this.state = state;
    this.conditions = conditions;
    this.firstRow = firstRow;
    this.draws = draws;
  }

  /**
   * Takes the survey.
   *
   * @param file name the survey goes by
   * @param remarks to head its file
   * @param seed of this survey; the same seed gives the same survey
   */
  public static Survey take(
      VirtualMagnet magnet,
      ProbeArray array,
      ArrayState state,
      SurveyConditions conditions,
      String file,
      Map<String, String> remarks,
      long seed) {
    int firstRow = remarks.size() + 2; // below the remarks and the header
    SurveySimulator simulator =
        new SurveySimulator(magnet, array, state, conditions, firstRow, Draws.of(seed, SURVEY));
    conditions.anglesDeg().forEach(angle -> simulator.visit(angle, true));
    conditions.revisitsDeg().forEach(angle -> simulator.visit(angle, false));
    return new Survey(
        file, Survey.Kind.TURNING_ARRAY, simulator.readings, true, remarks, List.of());
  }

  private void visit(double angleDeg, boolean first) {
    double errorDeg = conditions.angleErrorDeg() * draws.normal();
    for (Fault fault : conditions.faults()) {
      if (first && fault instanceof WrongAngle wrong && wrong.angleDeg() == angleDeg) {
        errorDeg += wrong.errorDeg();
      }
    }
    double trueAngle = Math.toRadians(angleDeg + errorDeg);
    for (ProbeState probe : state.probes()) {
      readings.add(read(probe, angleDeg, trueAngle, first));
      pass(conditions.secondsPerReading());
    }
    pass(conditions.secondsPerAngle());
  }

  private void pass(double seconds) {
    elapsed += seconds;
    wander += conditions.wanderPpm() * Math.sqrt(seconds / SECONDS_PER_HOUR) * draws.normal();
  }

  private Reading read(ProbeState probe, double angleDeg, double trueAngle, boolean first) {
    int id = probe.probe().id();
    double field = magnet.magnitude(probe.at(trueAngle));
    double ppm =
        conditions.driftPpmPerHour() * elapsed / SECONDS_PER_HOUR
            + wander
            + probe.probe().offsetPpm()
            + probe.offsetPpm();
    boolean locked = true;
    Double shown = null;
    for (Fault fault : conditions.faults()) {
      if (fault instanceof ProbeOffset offset && offset.probe() == id) {
        ppm += offset.ppm();
      } else if (first
          && fault instanceof Outlier f
          && same(f.probe(), f.angleDeg(), id, angleDeg)) {
        ppm += f.ppm();
      } else if (first
          && fault instanceof NoLock f
          && same(f.probe(), f.angleDeg(), id, angleDeg)) {
        locked = false;
      } else if (first
          && fault instanceof WrongFrequency f
          && same(f.probe(), f.angleDeg(), id, angleDeg)) {
        shown = f.frequencyMHz() / array.gammaMHzPerT();
      }
    }
    Repeats repeats = repeats();
    Double value = shown != null ? shown : (Double) (field * (1 + 1e-6 * (ppm + repeats.mean())));
    return reading(id, probe, angleDeg, locked ? value : null, repeats.sd() * 1e-6 * field);
  }

  private static boolean same(int probe, double angleDeg, int id, double atDeg) {
    return probe == id && angleDeg == atDeg;
  }

  private Reading reading(
      int id, ProbeState probe, double angleDeg, @Nullable Double value, double sd) {
    int averages = conditions.averages();
    boolean locked = value != null;
    Vec3 stated =
        Vec3.spherical(probe.probe().radius(), probe.probe().polar(), Math.toRadians(angleDeg));
    Instant time = conditions.start().plusMillis(Math.round(elapsed * 1000));
    return new Reading(
        firstRow + readings.size(),
        id,
        angleDeg,
        stated,
        value,
        locked && averages > 1 ? (Double) sd : null,
        averages,
        locked ? averages : 0,
        time,
        readings.size() + 1);
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
