package org.fieldwright.core.magnetostatics;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;

/** CODATA 2022, as tabulated (Mohr et al., Rev. Mod. Phys. 97 (2025) 025002). */
class ConstantsTest {

  /** The tabulated shielding correction σ'p = 2.567 15(41)e-5 ties the two constants together. */
  @Test
  void shieldingTiesTheTwoProtonConstants() {
    double shielded = Constants.PROTON_MHZ_PER_T * (1 - 2.56715e-5);
    assertThat(Constants.SHIELDED_PROTON_MHZ_PER_T).isCloseTo(shielded, within(1e-8));
  }

  /** The tabulated γp = 2.675 221 8708(11)e8 and γ'p = 2.675 153 194(11)e8 s⁻¹T⁻¹. */
  @Test
  void gyromagneticRatiosAreTwoPiTimesTheirs() {
    assertThat(2e6 * Math.PI * Constants.PROTON_MHZ_PER_T).isCloseTo(2.6752218708e8, within(0.02));
    assertThat(2e6 * Math.PI * Constants.SHIELDED_PROTON_MHZ_PER_T)
        .isCloseTo(2.675153194e8, within(0.2));
  }

  /** μ0/(4π·1e-7) − 1 = −1.3(16)e-10 in the 2022 adjustment. */
  @Test
  void permeabilityIsNearItsOldExactValue() {
    assertThat(Constants.MU_0 / (4e-7 * Math.PI) - 1).isCloseTo(-1.3e-10, within(1e-11));
  }
}
