package org.fieldwright.core.simulation;

import java.util.List;
import java.util.Set;
import org.fieldwright.core.reading.ProbeArray;
import org.jspecify.annotations.Nullable;

/**
 * How a simulated reader behaves, its faults included. Rates are parts of all answers.
 *
 * @param survey whose noise, drift and faults apply
 * @param range the whole range it can search, MHz
 * @param searchSecondsPerMHz added to the time of a reading, by the width of the window
 * @param deadProbes never lock
 * @param sticking probes that show the same value from some reading on
 * @param cutRate the connection is dropped in place of the answer
 * @param garbledRate characters of the answer are changed or lost
 * @param lateRate the answer comes late
 * @param lateSeconds how late
 * @param ramp null if the current stands still
 */
public record ReaderConditions(
    SurveyConditions survey,
    ProbeArray.Range range,
    double searchSecondsPerMHz,
    Set<Integer> deadProbes,
    List<Sticking> sticking,
    double cutRate,
    double garbledRate,
    double lateRate,
    double lateSeconds,
    @Nullable Ramp ramp) {

  public ReaderConditions {
    deadProbes = Set.copyOf(deadProbes);
    sticking = List.copyOf(sticking);
  }

  /** The current goes evenly from one value to that of the full field, A, from the start. */
  public record Ramp(double fromA, double toA, double minutes) {}

  /** From this lock on, counted from 1, the probe shows the same value. */
  public record Sticking(int probe, int afterReadings) {}
}
