package org.fieldwright.core.simulation;

import java.util.HashMap;
import java.util.HashSet;
import java.util.Map;
import java.util.Set;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.reading.ProbeArray;
import org.fieldwright.core.simulation.ArrayState.ProbeState;
import org.fieldwright.core.simulation.ReaderConditions.Ramp;
import org.fieldwright.core.simulation.ReaderConditions.Sticking;
import org.jspecify.annotations.Nullable;

/**
 * A virtual magnet's array, read one probe at a time by whoever asks: locks within a window of
 * frequency, dead and sticking probes, drift with the time that is handed in. For one thread.
 */
public final class SimulatedProbes {
  private static final int LIVE = 7;
  private static final double SECONDS_PER_HOUR = 3600;

  private final ProbeArray array;
  private final ArrayState state;
  private final SurveyConditions conditions;
  private final ReaderConditions reader;
  private final ArrayReadout readout;
  private final Draws draws;
  private final Set<Double> visited = new HashSet<>();
  private final Map<Integer, Integer> locks = new HashMap<>();
  private final Map<Integer, ArrayReadout.Shown> stuck = new HashMap<>();
  private double angleDeg;
  private Vec3 centre = Vec3.ZERO;
  private double low;
  private double high;
  private double clock;
  private double wander;

  /** The array of a scenario, in the magnet as its file says it is loaded. */
  public SimulatedProbes(Scenario scenario, ReaderConditions reader) {
    array = scenario.magnet().array();
    state = scenario.array();
    conditions = reader.survey();
    this.reader = reader;
    draws = Draws.of(scenario.seed(), LIVE);
    readout = new ArrayReadout(scenario.with(scenario.installed()), array, conditions, draws);
    reset();
  }

  /** As when switched on: at 0°, the window as wide as it goes; the array stays where it is. */
  public void reset() {
    low = reader.range().low();
    high = reader.range().high();
    turn(0);
  }

  /** Turns the array; turned to where it stands, it stays as it is. */
  public void turn(double toDeg) {
    if (visited.isEmpty() || toDeg != angleDeg) {
      angleDeg = toDeg;
      readout.turn(toDeg, visited.add(toDeg));
    }
  }

  /** Where the array is believed to stand, degrees. */
  public double angleDeg() {
    return angleDeg;
  }

  /** Moves the array's centre to this place, m. */
  public void move(Vec3 to) {
    centre = to;
    readout.centre(to);
  }

  /** Where the array's centre really is, m. */
  public Vec3 centre() {
    return centre;
  }

  /**
   * Current of the magnet, A; null where no ramp is simulated.
   *
   * @param seconds since the first reading
   */
  public @Nullable Double current(double seconds) {
    Ramp ramp = reader.ramp();
    if (ramp == null) {
      return null;
    }
    double part = Math.min(1, seconds / (60 * ramp.minutes()));
    return ramp.fromA() + part * (ramp.toA() - ramp.fromA());
  }

  /** The window searched for a line, MHz. */
  public ProbeArray.Range window() {
    return new ProbeArray.Range(low, high);
  }

  /** Sets the window; false if it is empty or leaves the reader's range. */
  public boolean window(double lowMHz, double highMHz) {
    boolean possible =
        reader.range().low() <= lowMHz && lowMHz < highMHz && highMHz <= reader.range().high();
    if (possible) {
      low = lowMHz;
      high = highMHz;
    }
    return possible;
  }

  /** How long a probe takes, s. */
  public double secondsPerReading() {
    return conditions.secondsPerReading() + reader.searchSecondsPerMHz() * (high - low);
  }

  /**
   * What a probe shows.
   *
   * @param frequencyMHz null if it did not lock
   * @param sdHz standard deviation of one repeat
   */
  public record Shown(@Nullable Double frequencyMHz, double sdHz, int averages) {}

  /**
   * Reads a probe.
   *
   * @param seconds since the first reading, never less than before
   * @return null if the array has no such probe
   */
  public @Nullable Shown read(int probe, double seconds) {
    for (ProbeState each : state.probes()) {
      if (each.probe().id() == probe) {
        double hours = Math.max(0, seconds - clock) / SECONDS_PER_HOUR;
        wander += conditions.wanderPpm() * Math.sqrt(hours) * draws.normal();
        clock = Math.max(clock, seconds);
        double drift = conditions.driftPpmPerHour() * clock / SECONDS_PER_HOUR;
        return shown(probe, readout.read(each, drift + wander), excited(clock));
      }
    }
    return null;
  }

  /** Part of the full field that the current makes. */
  private double excited(double seconds) {
    Ramp ramp = reader.ramp();
    Double current = current(seconds);
    return ramp == null || current == null ? 1 : current / ramp.toA();
  }

  private Shown shown(int probe, ArrayReadout.Shown now, double excited) {
    ArrayReadout.Shown seen = stuck.getOrDefault(probe, now);
    Double field = reader.deadProbes().contains(probe) ? null : seen.field();
    double scale = array.gammaMHzPerT() * excited;
    if (field == null || field * scale < low || field * scale > high) {
      return new Shown(null, 0, conditions.averages());
    }
    int count = locks.merge(probe, 1, Integer::sum);
    for (Sticking sticking : reader.sticking()) {
      if (sticking.probe() == probe && count >= sticking.afterReadings()) {
        stuck.putIfAbsent(probe, now);
      }
    }
    return new Shown(field * scale, seen.sd() * scale * 1e6, conditions.averages());
  }
}
