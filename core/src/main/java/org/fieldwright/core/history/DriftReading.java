package org.fieldwright.core.history;

import java.time.Instant;
import org.fieldwright.core.stability.Estimate;

/**
 * The drift that one field log shows.
 *
 * @param file the log
 * @param visit to which it belongs
 */
public record DriftReading(String file, String visit, Instant time, Estimate ppmPerHour) {}
