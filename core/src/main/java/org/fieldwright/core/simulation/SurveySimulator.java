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

/**
 * Takes a survey of a virtual magnet as an array would: probe by probe, angle by angle, while the
 * field drifts and wanders.
 */
public final class SurveySimulator {
  private static final int SURVEY = 5;
  private static final double SECONDS_PER_HOUR = 3600;

  private final ArrayReadout readout;
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
    this.readout = new ArrayReadout(magnet, array, conditions, draws);
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
    readout.turn(angleDeg, first);
    for (ProbeState probe : state.probes()) {
      readings.add(read(probe, angleDeg));
      pass(conditions.secondsPerReading());
    }
    pass(conditions.secondsPerAngle());
  }

  private void pass(double seconds) {
    elapsed += seconds;
    wander += conditions.wanderPpm() * Math.sqrt(seconds / SECONDS_PER_HOUR) * draws.normal();
  }

  private Reading read(ProbeState probe, double angleDeg) {
    double common = conditions.driftPpmPerHour() * elapsed / SECONDS_PER_HOUR + wander;
    ArrayReadout.Shown shown = readout.read(probe, common);
    int averages = conditions.averages();
    boolean locked = shown.field() != null;
    Vec3 stated =
        Vec3.spherical(probe.probe().radius(), probe.probe().polar(), Math.toRadians(angleDeg));
    Instant time = conditions.start().plusMillis(Math.round(elapsed * 1000));
    return new Reading(
        firstRow + readings.size(),
        probe.probe().id(),
        angleDeg,
        stated,
        shown.field(),
        locked && averages > 1 ? (Double) shown.sd() : null,
        averages,
        locked ? averages : 0,
        time,
        readings.size() + 1);
  }
}
