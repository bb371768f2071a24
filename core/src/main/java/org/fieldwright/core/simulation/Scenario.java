package org.fieldwright.core.simulation;

import java.util.List;
import java.util.Map;
import org.fieldwright.core.correction.IronSystem;
import org.fieldwright.core.correction.Loading;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.magnet.Magnet;
import org.fieldwright.core.magnetostatics.FieldSource;
import org.fieldwright.core.reading.Survey;
import org.fieldwright.core.stability.FieldLog;
import org.jspecify.annotations.Nullable;

/**
 * A virtual magnet together with everything that is going to be done to it. The same scenario gives
 * the same surveys and logs, digit for digit.
 *
 * @param name as people call it
 * @param seed everything random grows from it
 * @param magnet as its file describes it: what is believed
 * @param bare as it is, without anything in the pockets
 * @param trueStrength factor on the stated polarisation by piece id; absent = 1
 * @param array the array as it is
 * @param surveys to be taken with what the magnet file says is installed
 * @param next the survey to be taken after something was loaded; null if none is foreseen
 * @param logs to be taken
 * @param reader how the simulated reader behaves; null where no survey is planned
 */
public record Scenario(
    String name,
    long seed,
    Magnet magnet,
    VirtualMagnet bare,
    Map<String, Double> trueStrength,
    ArrayState array,
    List<PlannedSurvey> surveys,
    @Nullable PlannedSurvey next,
    List<PlannedLog> logs,
    @Nullable ReaderConditions reader) {

  public Scenario {
    trueStrength = Map.copyOf(trueStrength);
    surveys = List.copyOf(surveys);
    logs = List.copyOf(logs);
  }

  /** A survey and the name of its file. */
  public record PlannedSurvey(String file, SurveyConditions conditions) {}

  /** A log and the name of its file. */
  public record PlannedLog(String file, LogConditions conditions) {}

  /** What the magnet file says lies in the pockets. */
  public Loading installed() {
    IronSystem iron = magnet.iron();
    return iron == null ? Loading.EMPTY : iron.installed();
  }

  /** The magnet with these pieces in its pockets, as they really are. */
  public VirtualMagnet with(Loading loading) {
    IronSystem iron = magnet.iron();
    if (iron == null) {
      return bare;
    }
    List<FieldSource> pieces =
        new LoadedIron(iron, bare.fieldAxis(), trueStrength, seed).sources(loading);
    return bare.with(pieces);
  }

  /** Takes a survey of the magnet with these pieces in it. */
  public Survey take(PlannedSurvey survey, Loading loading) {
    Map<String, String> remarks = Map.of("scenario", name, "seed", Long.toString(seed));
    return SurveySimulator.take(
        with(loading),
        magnet.array(),
        array,
        survey.conditions(),
        survey.file(),
        remarks,
        seed ^ survey.file().hashCode());
  }

  /** Takes a log at the isocentre, with what is installed. */
  public FieldLog take(PlannedLog log) {
    double field = with(installed()).magnitude(Vec3.ZERO);
    return LogSimulator.take(field, log.conditions(), seed ^ log.file().hashCode());
  }
}
