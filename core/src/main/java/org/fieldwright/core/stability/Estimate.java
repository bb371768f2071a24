package org.fieldwright.core.stability;

/**
 * A value with its standard uncertainty, both in the same unit.
 *
 * @param uncertainty one standard deviation
 */
public record Estimate(double value, double uncertainty) {}
