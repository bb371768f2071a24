package org.fieldwright.core.simulation;

import java.time.Instant;
import org.fieldwright.core.simulation.LogConditions.Gap;
import org.fieldwright.core.simulation.LogConditions.Room;
import org.fieldwright.core.simulation.LogConditions.Settling;
import org.fieldwright.core.simulation.LogConditions.Step;
import org.fieldwright.core.stability.FieldLog;

/** Logs the field of a virtual magnet against time. */
public final class LogSimulator {
  private static final int LOG = 6;
  private static final double SECONDS_PER_HOUR = 3600;

  private LogSimulator() {}

  /**
   * Takes the log.
   *
   * @param field at the probe when the log starts, T
   * @param seed of this log; the same seed gives the same log
   */
  public static FieldLog take(double field, LogConditions conditions, long seed) {
    Draws draws = Draws.of(seed, LOG);
    FieldLog.Builder log = new FieldLog.Builder();
    double interval = conditions.intervalSeconds();
    long samples =
        1 + (long) Math.floor(conditions.durationHours() * SECONDS_PER_HOUR / interval + 1e-9);
    double growth = conditions.wanderPpm() * Math.sqrt(interval / SECONDS_PER_HOUR);
    double wander = 0;
    for (long i = 0; i < samples; i++) {
      double hours = i * interval / SECONDS_PER_HOUR;
      double noise = conditions.noisePpm() * draws.normal();
      wander += i == 0 ? 0 : growth * draws.normal();
      if (inGap(conditions, hours)) {
        continue;
      }
      double temperature = temperature(conditions, hours);
      double ppm = systematicPpm(conditions, hours, temperature) + wander + noise;
      Instant time = conditions.start().plusMillis(Math.round(i * interval * 1000));
      log.add(
          time.getEpochSecond(),
          time.getNano(),
          field * (1 + 1e-6 * ppm),
          FieldLog.Builder.NO_PROBE,
          Double.NaN,
          temperature,
          Double.NaN);
    }
    return log.build();
  }

  private static boolean inGap(LogConditions conditions, double hours) {
    for (Gap gap : conditions.gaps()) {
      if (hours >= gap.atHours() && hours < gap.atHours() + gap.hours()) {
        return true;
      }
    }
    return false;
  }

  /** °C; NaN if none is logged. */
  private static double temperature(LogConditions conditions, double hours) {
    Room room = conditions.room();
    return room == null
        ? Double.NaN
        : room.meanC() + room.swingK() * Math.sin(2 * Math.PI * hours / 24);
  }

  private static double systematicPpm(LogConditions conditions, double hours, double temperature) {
    double ppm = conditions.driftPpmPerHour() * hours;
    Settling settling = conditions.settling();
    if (settling != null) {
      ppm += settling.amplitudePpm() * Math.exp(-hours / settling.timeConstantHours());
    }
    Room room = conditions.room();
    if (room != null) {
      ppm += room.ppmPerK() * (temperature - room.meanC());
    }
    for (Step step : conditions.steps()) {
      ppm += hours >= step.atHours() ? step.ppm() : 0;
    }
    return ppm;
  }
}
