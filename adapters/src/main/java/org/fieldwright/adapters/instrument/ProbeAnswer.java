package org.fieldwright.adapters.instrument;

import org.jspecify.annotations.Nullable;

/**
 * What the reader said of one probe.
 *
 * @param probe its id
 * @param field T (of a reader of current: A); null if it did not lock
 * @param sd standard deviation of one repeat, T; null if not given
 * @param averages repeats; null if not given
 * @param locked how many of them locked; null if not given
 */
public record ProbeAnswer(
    int probe,
    @Nullable Double field,
    @Nullable Double sd,
    @Nullable Integer averages,
    @Nullable Integer locked) {}
