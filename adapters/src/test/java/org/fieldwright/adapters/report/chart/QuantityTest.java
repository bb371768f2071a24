package org.fieldwright.adapters.report.chart;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;

class QuantityTest {

  /** JCGM 100:2008, 7.2.2 and 7.2.4: a 100 g standard, u = 0.35 mg, U = 0.79 mg. */
  @Test
  void printsTheGuidesOwnExampleAsTheGuideDoes() {
    assertThat(Quantity.value(100.02147, 0.00035)).isEqualTo("100.02147");
    assertThat(Quantity.withUncertainty(100.02147, 0.00079)).isEqualTo("100.02147 ± 0.00079");
  }

  /** JCGM 100:2008, 7.2.6: "10.057 62 Ω with u = 27 mΩ is rounded to 10.058 Ω". */
  @Test
  void roundsTheValueToItsUncertainty() {
    assertThat(Quantity.value(10.05762, 0.027)).isEqualTo("10.058");
  }

  @Test
  void keepsTwoDigitsOfTheUncertaintyWhenRoundingCarries() {
    assertThat(Quantity.withUncertainty(1.23456, 0.0996)).isEqualTo("1.23 ± 0.10");
    assertThat(Quantity.withUncertainty(412.3, 37.0)).isEqualTo("412 ± 37");
    assertThat(Quantity.withUncertainty(5, 0.0)).isEqualTo("5.000");
  }

  @Test
  void writesARealMinusAndNeverMinusZero() {
    assertThat(Quantity.decimals(-12.34, 1)).isEqualTo("−12.3");
    assertThat(Quantity.decimals(-0.04, 1)).isEqualTo("0.0");
    assertThat(Quantity.signed(0.04, 1)).isEqualTo("0.0");
    assertThat(Quantity.signed(0.06, 1)).isEqualTo("+0.1");
  }

  @Test
  void roundsToSignificantDigitsWithoutExponents() {
    assertThat(Quantity.significant(0.00123456, 3)).isEqualTo("0.00123");
    assertThat(Quantity.significant(9.9996, 4)).isEqualTo("10.00");
    assertThat(Quantity.significant(123456, 3)).isEqualTo("123456");
    assertThat(Quantity.significant(Double.NaN, 3)).isEqualTo("–");
  }
}
