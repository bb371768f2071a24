package org.fieldwright.core.stability;

/**
 * How the residual variance of a log about its trend divides between kinds of noise, as most
 * likely.
 *
 * @param white 0 … 1
 * @param flicker 0 … 1
 * @param randomWalk 0 … 1; the three add up to 1
 */
public record NoiseShares(double white, double flicker, double randomWalk) {}
