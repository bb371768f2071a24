package org.fieldwright.core.homogeneity;

import static org.assertj.core.api.Assertions.assertThat;

import org.fieldwright.core.homogeneity.LimitResult.Verdict;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class GuardedAcceptanceTest {

  /** JCGM 106:2012 table 1: one-sided coverage probability and its z. */
  @ParameterizedTest
  @CsvSource({"0.84", "1.28", "1.64", "2.33", "3.09"})
  void turnsAtTheGuardBand(double z) {
    double limit = 20;
    double u = 0.5;
    assertThat(GuardedAcceptance.decide(limit - z * u - 1e-9, u, limit, z)).isEqualTo(Verdict.MET);
    assertThat(GuardedAcceptance.decide(limit - z * u + 1e-9, u, limit, z))
        .isEqualTo(Verdict.UNDECIDED);
    assertThat(GuardedAcceptance.decide(limit + z * u - 1e-9, u, limit, z))
        .isEqualTo(Verdict.UNDECIDED);
    assertThat(GuardedAcceptance.decide(limit + z * u + 1e-9, u, limit, z))
        .isEqualTo(Verdict.NOT_MET);
  }

  /**
   * The two worked decisions of JCGM 106:2012 with an upper limit. Diode: −5.47 V, u = 0.05 V,
   * limit −5.40 V, conformance probability 0.92: not sure at 95 %, sure at 90 % (z = 1.28). Speed:
   * limit 100 km/h, u = 2 %: beyond doubt (0.999, z = 3.09) only above 106.6 km/h.
   */
  @Test
  void workedExamples() {
    assertThat(GuardedAcceptance.decide(-5.47, 0.05, -5.40)).isEqualTo(Verdict.UNDECIDED);
    assertThat(GuardedAcceptance.decide(-5.47, 0.05, -5.40, 1.28)).isEqualTo(Verdict.MET);
    assertThat(GuardedAcceptance.decide(106.5, 0.02 * 106.5, 100, 3.09))
        .isEqualTo(Verdict.UNDECIDED);
    assertThat(GuardedAcceptance.decide(106.7, 0.02 * 106.7, 100, 3.09)).isEqualTo(Verdict.NOT_MET);
  }

  @Test
  void certainValueIsMetAtTheLimit() {
    assertThat(GuardedAcceptance.decide(20, 0, 20)).isEqualTo(Verdict.MET);
    assertThat(GuardedAcceptance.decide(Math.nextUp(20.0), 0, 20)).isEqualTo(Verdict.NOT_MET);
  }

  @Test
  void defaultIsOneSided95Percent() {
    assertThat(GuardedAcceptance.decide(20 - 1.646, 1, 20)).isEqualTo(Verdict.MET);
    assertThat(GuardedAcceptance.decide(20 - 1.644, 1, 20)).isEqualTo(Verdict.UNDECIDED);
  }
}
