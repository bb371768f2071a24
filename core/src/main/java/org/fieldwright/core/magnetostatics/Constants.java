package org.fieldwright.core.magnetostatics;

/**
 * Physical constants, CODATA 2022 (Mohr, Newell, Taylor and Tiesinga, Rev. Mod. Phys. 97 (2025)
 * 025002). Standard uncertainties in the last digits are given in brackets.
 */
public final class Constants {
  private Constants() {}

  /** Vacuum magnetic permeability, N/A²: 1.256 637 061 27(20)e-6. */
  public static final double MU_0 = 1.25663706127e-6;

  /** γp/2π of the free proton, MHz/T: 42.577 478 461(18). */
  public static final double PROTON_MHZ_PER_T = 42.577478461;

  /**
   * γ'p/2π of the proton in a spherical sample of pure water at 25 °C, MHz/T: 42.576 385 43(17).
   * 25.7 ppm below the free proton's, so a report names which was used.
   */
  public static final double SHIELDED_PROTON_MHZ_PER_T = 42.57638543;

  /**
   * What the frequency of a water sphere changes per kelvin, as a fraction: −10.36(30)e-9, 5 to 45
   * °C (Petley and Donaldson, Metrologia 20 (1984) 81).
   */
  public static final double WATER_SHIFT_PER_KELVIN = -10.36e-9;
}
