package org.fieldwright.app.capture;

import java.nio.file.Path;

/**
 * Where the array is to be seated.
 *
 * @param magnetFile describes the array
 * @param instrumentFile the reader's profile
 * @param earlier survey of the same magnet in the same state
 * @param asBefore to where the array's centre was in that survey; otherwise to the magnetic centre
 * @param tolerance in each direction, m
 * @param expectedPpm inhomogeneity from peak to peak that the search window must hold
 */
public record SeatRequest(
    Path magnetFile,
    Path instrumentFile,
    Path earlier,
    boolean asBefore,
    double tolerance,
    double expectedPpm) {}
