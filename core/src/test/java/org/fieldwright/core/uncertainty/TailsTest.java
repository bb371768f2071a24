package org.fieldwright.core.uncertainty;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;

/** Chances against tables and closed forms. */
class TailsTest {

  @Test
  void upperTailsAreThoseOfTheTables() {
    // NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.4, .3 and .2: critical values
    assertThat(Tails.chiSquare(18.307, 10)).isCloseTo(0.05, within(5e-6));
    assertThat(Tails.chiSquare(135.807, 100)).isCloseTo(0.01, within(5e-6));
    assertThat(Tails.f(2.978, 10, 10)).isCloseTo(0.05, within(2e-5));
    assertThat(Tails.twoSided(2.228, 10)).isCloseTo(0.05, within(3e-5));
    assertThat(Tails.twoSided(1.959964, Double.POSITIVE_INFINITY)).isCloseTo(0.05, within(1e-7));
  }

  @Test
  void tailsAreThoseOfTheirClosedFormsFarOut() {
    // χ² of two degrees of freedom: exp(−x/2); t of one: 1 − (2/π) atan x; F of (2, ν): (1 +
    // 2x/ν)^(−ν/2)
    assertThat(Tails.chiSquare(120, 2) / Math.exp(-60)).isCloseTo(1, within(1e-10));
    assertThat(Tails.twoSided(40, 1)).isCloseTo(2 / Math.PI * Math.atan(1.0 / 40), within(1e-12));
    assertThat(Tails.f(7, 2, 9) / Math.pow(1 + 14 / 9.0, -4.5)).isCloseTo(1, within(1e-10));
  }
}
