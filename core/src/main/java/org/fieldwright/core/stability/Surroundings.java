package org.fieldwright.core.stability;

/**
 * How the field follows its surroundings.
 *
 * @param perUnit ppm per kelvin or per hectopascal
 * @param delay by which the field follows, s
 * @param gain how much Schwarz's criterion improves; 6 is strong evidence
 */
public record Surroundings(Quantity quantity, Estimate perUnit, Estimate delay, double gain) {

  /** What surrounds. */
  public enum Quantity {
    TEMPERATURE,
    PRESSURE
  }
}
