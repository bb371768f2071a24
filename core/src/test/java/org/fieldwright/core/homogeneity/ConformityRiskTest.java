package org.fieldwright.core.homogeneity;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Against the tables and worked examples of JCGM 106:2012. */
class ConformityRiskTest {

  /** Table 1: one-sided, z = (limit − value)/u. */
  @ParameterizedTest
  @CsvSource({"0.80,0.84", "0.90,1.28", "0.95,1.64", "0.99,2.33", "0.999,3.09"})
  void tableOne(double probability, double z) {
    // z is printed to two digits: its half unit moves the probability by 0.005 φ(z) at most
    double slope = Math.exp(-z * z / 2) / Math.sqrt(2 * Math.PI);
    assertThat(ConformityRisk.conformity(10 - 0.3 * z, 0.3, 10))
        .isCloseTo(probability, within(0.0052 * slope));
  }

  /** A breakdown voltage of −5.47 V, u = 0.05 V, against an upper limit of −5.40 V: 0.92. */
  @Test
  void aDiode() {
    assertThat(ConformityRisk.conformity(-5.47, 0.05, -5.40)).isCloseTo(0.91924, within(5e-6));
  }

  /** Speed measured to 2 %: above 100 km/h with 0.999 from 107 km/h on. */
  @Test
  void aSpeedLimit() {
    double v = 106.588;
    assertThat(1 - ConformityRisk.conformity(v, 0.02 * v, 100)).isCloseTo(0.999, within(1e-5));
  }

  @Test
  void aCertainValueIsOneOrTheOther() {
    assertThat(ConformityRisk.conformity(1, 0, 1)).isEqualTo(1);
    assertThat(ConformityRisk.conformity(1.1, 0, 1)).isZero();
  }
}
