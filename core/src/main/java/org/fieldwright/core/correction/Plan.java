package org.fieldwright.core.correction;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.stream.Collectors;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.homogeneity.LimitResult;
import org.jspecify.annotations.Nullable;

/**
 * What to load, and what it is expected to do; every predicted number is computed forward from the
 * whole-piece loading, never taken from the search.
 *
 * @param goal what was optimised
 * @param limitId the limit whose volume it was optimised on
 * @param beforePpm that limit's value now
 * @param relaxedBoundPpm lower bound on its value by the linear relaxation on the surface; null
 *     where the goal has none
 * @param relaxedMassBound lower bound on the iron added for the target, kg; null unless least iron
 * @param relaxedPocketBound lower bound on the pockets touched for the target; null unless fewest
 *     pockets, or where the target is out of reach
 * @param plannedPpm that limit's value after loading
 * @param missedByPpm by how much the plan misses what it had to keep, summed over the limits
 *     concerned; 0 where it keeps all
 * @param unreachableByPpm by how much even fractions of pieces miss it; 0 where the bound leaves it
 *     possible that a plan keeps all
 * @param promise over piece, place and map errors; null until drawn
 * @param installed before
 * @param planned after
 * @param piecesAdded count over all pockets of what goes in
 * @param piecesRemoved count over all pockets of what comes out
 * @param massAdded of what goes in, kg
 * @param pocketsTouched pockets whose content changes
 * @param centreShiftPpm change of the field at the origin
 * @param coilsFrom currents now by coil id, A
 * @param coilsTo currents after, A
 * @param coilsInTurn where coils that disturb each other are set one after the other: the current
 *     to set each to at its turn, A, in that order; empty where they do not
 * @param pointFormErrorPpm by how much the search was wrong at most, a full pocket at the nearest
 *     target, for taking small blocks as points; the prediction subdivides every block
 * @param predictedLimits every limit after loading
 * @param predicted the field after loading, ppm of the predicted centre field
 * @param pulls at the trays that have to be moved; null where the field's gradient is not known
 * @param iterations what the search did, for reproduction by seed
 * @param seed of the search
 * @param warnings what a person must know before loading
 */
public record Plan(
    Goal goal,
    String limitId,
    double beforePpm,
    @Nullable Double relaxedBoundPpm,
    @Nullable Double relaxedMassBound,
    @Nullable Integer relaxedPocketBound,
    double plannedPpm,
    double missedByPpm,
    double unreachableByPpm,
    @Nullable Promise promise,
    Loading installed,
    Loading planned,
    int piecesAdded,
    int piecesRemoved,
    double massAdded,
    int pocketsTouched,
    double centreShiftPpm,
    Map<String, Double> coilsFrom,
    Map<String, Double> coilsTo,
    Map<String, Double> coilsInTurn,
    double pointFormErrorPpm,
    List<LimitResult> predictedLimits,
    Expansion predicted,
    @Nullable TrayPulls pulls,
    long iterations,
    long seed,
    List<String> warnings) {

  public Plan {
    coilsFrom = Map.copyOf(coilsFrom);
    coilsTo = Map.copyOf(coilsTo);
    coilsInTurn = Collections.unmodifiableMap(new LinkedHashMap<>(coilsInTurn));
    predictedLimits = List.copyOf(predictedLimits);
    warnings = List.copyOf(warnings);
  }

  /** The same plan with what it can promise, and a warning where that is not all. */
  public Plan promising(Promise drawn, List<String> furtherWarnings) {
    List<String> all = new ArrayList<>(warnings);
    all.addAll(furtherWarnings);
    return new Plan(
        goal,
        limitId,
        beforePpm,
        relaxedBoundPpm,
        relaxedMassBound,
        relaxedPocketBound,
        plannedPpm,
        missedByPpm,
        unreachableByPpm,
        drawn,
        installed,
        planned,
        piecesAdded,
        piecesRemoved,
        massAdded,
        pocketsTouched,
        centreShiftPpm,
        coilsFrom,
        coilsTo,
        coilsInTurn,
        pointFormErrorPpm,
        predictedLimits,
        predicted,
        pulls,
        iterations,
        seed,
        all);
  }

  /** What a plan is best at. */
  public enum Goal {
    PEAK_TO_PEAK,
    LEAST_IRON,
    RMS,
    FEWEST_POCKETS,
    ROBUST;

    /** The name used in files and on the command line. */
    public String id() {
      return switch (this) {
        case PEAK_TO_PEAK -> "peak-to-peak";
        case LEAST_IRON -> "least-iron";
        case RMS -> "rms";
        case FEWEST_POCKETS -> "fewest-pockets";
        case ROBUST -> "robust";
      };
    }

    /**
     * The goal of this name.
     *
     * @param where it was given, for the message
     */
    public static Goal named(String id, String where) {
      for (Goal goal : values()) {
        if (goal.id().equals(id)) {
          return goal;
        }
      }
      throw new BadInput(
          "%s: found '%s'; known are %s"
              .formatted(
                  where,
                  id,
                  Arrays.stream(values()).map(Goal::id).collect(Collectors.joining(", "))));
    }
  }
}
