package org.fieldwright.core.simulation;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.time.Instant;
import java.util.List;
import java.util.Objects;
import org.fieldwright.core.simulation.LogConditions.Gap;
import org.fieldwright.core.simulation.LogConditions.Room;
import org.fieldwright.core.simulation.LogConditions.Settling;
import org.fieldwright.core.simulation.LogConditions.Step;
import org.fieldwright.core.stability.FieldLog;
import org.junit.jupiter.api.Test;

class LogSimulatorTest {

  /** Without noise every part of the law can be read off where it alone acts. */
  @Test
  void quietLogFollowsItsLaw() {
    LogConditions conditions =
        new LogConditions(
            Instant.parse("2026-03-11T00:00:00Z"),
            48,
            600,
            0,
            0.1,
            0,
            new Settling(5, 2),
            new Room(21, 2, 0.3),
            List.of(new Gap(10, 2)),
            List.of(new Step(30, -1.5)));
    FieldLog log = LogSimulator.take(0.55, conditions, 1);
    assertThat(log.size()).isEqualTo(48 * 6 + 1 - 12);
    assertThat(log.duration()).isEqualTo(48 * 3600.0);
    assertThat(ppm(log, 0)).isCloseTo(5, within(1e-9));
    assertThat(Objects.requireNonNull(log.temperature())[6 * 6]).isCloseTo(23, within(1e-12));
    assertThat(ppm(log, 6 * 6)).isCloseTo(0.6 + 5 * Math.exp(-3) + 0.3 * 2, within(1e-9));
    assertThat(ppm(log, log.size() - 1)).isCloseTo(4.8 + 5 * Math.exp(-24) - 1.5, within(1e-9));
  }

  private static double ppm(FieldLog log, int sample) {
    return (log.field()[sample] / 0.55 - 1) * 1e6;
  }

  /**
   * A walk of 1 ppm per root hour differs by 1 ppm from hour to hour; 2000 hours know it to 1.6 %.
   */
  @Test
  void wanderIsARandomWalk() {
    LogConditions conditions =
        new LogConditions(Instant.EPOCH, 2000, 900, 0, 0, 1, null, null, List.of(), List.of());
    FieldLog log = LogSimulator.take(0.55, conditions, 20260317);
    double squares = 0;
    for (int hour = 1; hour <= 2000; hour++) {
      squares += Math.pow(ppm(log, 4 * hour) - ppm(log, 4 * (hour - 1)), 2);
    }
    assertThat(Math.sqrt(squares / 2000)).isCloseTo(1, within(0.064));
  }
}
