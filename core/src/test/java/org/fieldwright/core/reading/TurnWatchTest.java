package org.fieldwright.core.reading;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.SplittableRandom;
import org.fieldwright.core.reading.TurnWatch.State;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.NullSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Turns made up by hand, with seeded noise; when they end is known. */
class TurnWatchTest {
  private static final double NOISE = 0.05;

  /** Nobody turns for an hour at one reading a second, while the field drifts by 2 ppm/h. */
  @ParameterizedTest
  @NullSource
  @ValueSource(doubles = NOISE)
  void noTurnIsSeenWhereThereIsNone(Double stated) {
    for (long seed = 1; seed <= 20; seed++) {
      SplittableRandom random = new SplittableRandom(seed);
      TurnWatch watch = new TurnWatch(stated);
      for (int i = 0; i < 3600; i++) {
        State state = watch.add(2.0 * i / 3600 + NOISE * random.nextGaussian());
        assertThat(state).as("seed %d, reading %d", seed, i).isEqualTo(State.STILL);
      }
    }
  }

  /** 3 ppm over 10 readings, a lost lock on the way, then rest: taken 4 to 8 readings later. */
  @ParameterizedTest
  @NullSource
  @ValueSource(doubles = NOISE)
  void aTurnIsSettledSoonAfterItEnds(Double stated) {
    for (long seed = 1; seed <= 200; seed++) {
      SplittableRandom random = new SplittableRandom(seed);
      TurnWatch watch = new TurnWatch(stated);
      int settled = -1;
      for (int i = 0; i < 60 && settled < 0; i++) {
        double field = 3 * Math.min(1, Math.max(0, (i - 20) / 10.0));
        Double reading = i == 25 ? null : (Double) (field + NOISE * random.nextGaussian());
        settled = watch.add(reading) == State.SETTLED ? i : -1;
      }
      assertThat(settled).as("seed %d", seed).isBetween(32, 42);
    }
  }

  @Test
  void oneStrayReadingIsNoTurn() {
    TurnWatch watch = new TurnWatch(NOISE);
    for (int i = 0; i < 3; i++) {
      assertThat(watch.hasBase()).isFalse();
      watch.add(0.0);
    }
    assertThat(watch.hasBase()).isTrue();
    assertThat(watch.add(40.0)).isEqualTo(State.STILL);
    assertThat(watch.add(0.0)).isEqualTo(State.STILL);
    assertThat(watch.add(null)).isEqualTo(State.STILL);
    assertThat(watch.add(null)).isEqualTo(State.TURNING);
    for (int i = 0; i < 3; i++) {
      assertThat(watch.add(7.0)).isEqualTo(State.TURNING);
    }
    assertThat(watch.add(7.0)).isEqualTo(State.SETTLED);
  }
}
