package org.fieldwright.app.capture;

import java.nio.file.Path;
import org.jspecify.annotations.Nullable;

/**
 * What is to be recorded against time.
 *
 * @param magnetFile describes the array
 * @param instrumentFile the reader's profile
 * @param log field log to be written, or gone on with
 * @param probe the one to read; null = all
 * @param currentFile profile of what reads the magnet's current; null = none
 * @param intervalSeconds from the beginning of one round of readings to that of the next; 0 = at
 *     once
 * @param expectedPpm inhomogeneity from peak to peak that the search window must hold
 * @param alarmPpm how far the field may go from its first reading; null = anywhere
 * @param targetMHz where a ramp leads; null = nowhere
 * @param overSeconds how far back drift and rates look
 */
public record RecordRequest(
    Path magnetFile,
    Path instrumentFile,
    Path log,
    @Nullable Integer probe,
    @Nullable Path currentFile,
    double intervalSeconds,
    double expectedPpm,
    @Nullable Double alarmPpm,
    @Nullable Double targetMHz,
    double overSeconds) {}
