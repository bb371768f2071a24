package org.fieldwright.core.stability;

import org.fieldwright.core.homogeneity.Limit;
import org.fieldwright.core.homogeneity.LimitResult;
import org.jspecify.annotations.Nullable;

/**
 * A limit on drift held against a log.
 *
 * @param limit ppm per hour, either way
 * @param valuePpmPerHour size of the drift judged; null if the log is too short to tell
 * @param uncertaintyPpmPerHour one standard deviation; null with the value
 * @param verdict by guarded acceptance
 * @param inLimitFrom s since the start of the log, from when on the trend keeps the limit with the
 *     guard band; null if it never does within the forecast
 */
public record DriftVerdict(
    Limit limit,
    @Nullable Double valuePpmPerHour,
    @Nullable Double uncertaintyPpmPerHour,
    LimitResult.Verdict verdict,
    @Nullable Double inLimitFrom) {}
