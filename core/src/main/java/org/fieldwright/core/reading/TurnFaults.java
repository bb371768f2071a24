package org.fieldwright.core.reading;

import java.util.Arrays;

/** What is taken to be wrong with the readings of a turn. */
final class TurnFaults {
  private final int probes;
  private boolean[] excluded = new boolean[0];
  private boolean[] freed = new boolean[0];
  private double[] shift = new double[0];
  private final boolean[] loose;

  TurnFaults(int probes) {
    this.probes = probes;
    loose = new boolean[probes];
  }

  /** Makes room; what is new is sound. */
  void grow(int settings) {
    if (freed.length < settings) {
      excluded = Arrays.copyOf(excluded, 2 * settings * probes);
      freed = Arrays.copyOf(freed, 2 * settings);
      shift = Arrays.copyOf(shift, 2 * settings);
    }
  }

  void clear() {
    Arrays.fill(excluded, false);
    Arrays.fill(freed, false);
    Arrays.fill(shift, 0);
    Arrays.fill(loose, false);
  }

  /** Whether a reading is left out. */
  boolean excludes(int setting, int probe) {
    return excluded[setting * probes + probe];
  }

  /** Whether a reading was taken and is not left out. */
  boolean keeps(TurnReadings r, int setting, int probe) {
    return !Double.isNaN(r.ppm(setting, probe)) && !excludes(setting, probe);
  }

  void exclude(int setting, int probe, boolean out) {
    excluded[setting * probes + probe] = out;
  }

  /** Whether nothing is believed of a setting's angle. */
  boolean frees(int setting) {
    return freed[setting];
  }

  /** Where a setting of which nothing is believed seems to stand, rad from where it should. */
  double shift(int setting) {
    return shift[setting];
  }

  void free(int setting, double shiftRad) {
    freed[setting] = true;
    shift[setting] = shiftRad;
  }

  void believe(int setting) {
    freed[setting] = false;
    shift[setting] = 0;
  }

  /** Whether nothing is believed of a probe's offset. */
  boolean loosens(int probe) {
    return loose[probe];
  }

  void loosen(int probe, boolean free) {
    loose[probe] = free;
  }
}
