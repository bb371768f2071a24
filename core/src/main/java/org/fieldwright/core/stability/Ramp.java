package org.fieldwright.core.stability;

import org.jspecify.annotations.Nullable;

/**
 * A change of the magnet's current, followed by the field.
 *
 * @param firstSample index where the current begins to change
 * @param lastSample index where it has settled, or the last of the log
 * @param settled whether the current has come to rest within the log
 * @param fieldPerAmpere T/A, over the change
 * @param rate of the field at the end of the change, T/h
 * @param missing target field less the last field, T; null without a target
 * @param hoursToTarget at that rate; null once settled, without a target or running away from it
 */
public record Ramp(
    int firstSample,
    int lastSample,
    boolean settled,
    Estimate fieldPerAmpere,
    Estimate rate,
    @Nullable Double missing,
    @Nullable Double hoursToTarget) {}
