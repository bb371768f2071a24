package org.fieldwright.app.team;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Clock;
import java.time.Instant;
import java.time.ZoneId;
import java.time.ZoneOffset;
import org.junit.jupiter.api.Test;

class PatienceTest {
  private Instant now = Instant.parse("2026-03-02T10:00:00Z");
  private final Patience patience =
      new Patience(
          new Clock() {
            @Override
            public ZoneId getZone() {
              return ZoneOffset.UTC;
            }

            @Override
            public Clock withZone(ZoneId zone) {
              return this;
            }

            @Override
            public Instant instant() {
              return now;
            }
          });

  /** NIST SP 800-63B-4, 3.2.2: no more than 100 failures in a row; here that takes a day. */
  @Test
  void guessesAreFew() {
    Instant begun = now;
    int looked = 0;
    while (now.isBefore(begun.plusSeconds(86_400))) {
      long wait = patience.attempt("m.keller");
      looked += wait == 0 ? 1 : 0;
      now = now.plusSeconds(Math.max(1, wait));
    }
    assertThat(looked).isBetween(60, 110);
  }

  @Test
  void aFewSlipsCostNothingAndARightOneForgetsThem() {
    for (int i = 0; i < 5; i++) {
      assertThat(patience.attempt("m.keller")).isZero();
    }
    assertThat(patience.attempt("m.keller")).isEqualTo(2);
    assertThat(patience.attempt("other")).isZero();
    patience.right("m.keller");
    assertThat(patience.attempt("m.keller")).isZero();
  }
}
