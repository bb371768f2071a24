package org.fieldwright.core.correction;

/**
 * What a plan can be expected to reach, given how well pieces, places and the map are known.
 *
 * @param meanPpm mean of the peak-to-peak over the draws
 * @param ppm95 what it stays below in 95 % of them: the promise
 * @param ppm95Uncertainty standard deviation of that quantile from the finite number of draws
 * @param draws how many
 * @param seed of the draws
 * @param linearErrorPpm largest difference found between a draw to first order, as all were
 *     computed, and the same draw computed in full
 */
public record Promise(
    double meanPpm,
    double ppm95,
    double ppm95Uncertainty,
    int draws,
    long seed,
    double linearErrorPpm) {}
