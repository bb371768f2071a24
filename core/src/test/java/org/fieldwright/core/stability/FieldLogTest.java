package org.fieldwright.core.stability;

import static java.util.Objects.requireNonNull;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.time.Instant;
import org.fieldwright.core.BadInput;
import org.junit.jupiter.api.Test;

class FieldLogTest {

  @Test
  void columnsThatNeverCarryAValueAreAbsentAndLateOnesStartMissing() {
    FieldLog.Builder builder = new FieldLog.Builder();
    for (int i = 0; i < 3000; i++) {
      double temperature = i < 2000 ? Double.NaN : 20 + i;
      builder.add(
          1000 + i,
          500_000_000,
          0.55,
          FieldLog.Builder.NO_PROBE,
          Double.NaN,
          temperature,
          Double.NaN);
    }
    FieldLog log = builder.build();
    assertThat(log.size()).isEqualTo(3000);
    assertThat(log.start()).isEqualTo(Instant.ofEpochSecond(1000, 500_000_000));
    assertThat(log.duration()).isEqualTo(2999);
    assertThat(log.probe()).isNull();
    assertThat(log.current()).isNull();
    assertThat(log.pressure()).isNull();
    double[] temperature = requireNonNull(log.temperature());
    assertThat(temperature).hasSize(3000);
    assertThat(temperature[1999]).isNaN();
    assertThat(temperature[2999]).isEqualTo(20 + 2999);
  }

  @Test
  void timesThatRepeatOrRunBackAreRefused() {
    FieldLog.Builder builder = new FieldLog.Builder().add(100, 0, 0.55).add(101, 0, 0.55);
    assertThatThrownBy(() -> builder.add(101, 0, 0.55))
        .isInstanceOf(BadInput.class)
        .hasMessageContaining("twice");
    assertThatThrownBy(() -> builder.add(98, 0, 0.55))
        .isInstanceOf(BadInput.class)
        .hasMessageContaining("3.0 s before")
        .hasMessageContaining("order of time");
    assertThat(builder.size()).isEqualTo(2);
  }

  @Test
  void anEmptyLogIsRefused() {
    assertThatThrownBy(() -> new FieldLog.Builder().build())
        .isInstanceOf(BadInput.class)
        .hasMessageContaining("no sample");
  }
}
