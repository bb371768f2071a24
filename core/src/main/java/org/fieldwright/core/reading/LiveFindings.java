package org.fieldwright.core.reading;

import java.util.List;
import org.fieldwright.core.reading.VettedSurvey.SuspectAngle;
import org.fieldwright.core.reading.VettedSurvey.SuspectProbe;
import org.jspecify.annotations.Nullable;

/**
 * What is wrong with the readings of a turn so far, as far as they can tell.
 *
 * @param angles settings where the array stood elsewhere
 * @param readings that are off by themselves
 * @param probes that read off at every angle
 * @param drift null while it cannot be told from the field
 */
public record LiveFindings(
    List<SuspectAngle> angles,
    List<OffReading> readings,
    List<SuspectProbe> probes,
    @Nullable Rate drift) {
  public LiveFindings {
    angles = List.copyOf(angles);
    readings = List.copyOf(readings);
    probes = List.copyOf(probes);
  }

  /** Reading − what the others make of it, ppm. */
  public record OffReading(double angleDeg, int probe, double ppm, double uncertaintyPpm) {}

  /** Positive when the field rises. */
  public record Rate(double ppmPerHour, double uncertaintyPpmPerHour) {}
}
