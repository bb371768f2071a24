package org.fieldwright.core.homogeneity;

import org.fieldwright.core.geometry.Volume;
import org.jspecify.annotations.Nullable;

/**
 * What is required of the magnet.
 *
 * @param id unique in the magnet file
 * @param measure what is compared with the limit
 * @param volume where; null only for {@link Measure#DRIFT}
 * @param limit ppm, or ppm per hour for drift
 */
public record Limit(String id, Measure measure, @Nullable Volume volume, double limit) {

  public Limit {
    if ((volume == null) != (measure == Measure.DRIFT)) {
      throw new IllegalArgumentException(
          "limit " + id + ": a volume belongs to every measure but drift");
    }
  }

  /** Whether values of either sign count: a field may drift up or down. */
  public boolean isTwoSided() {
    return measure == Measure.DRIFT;
  }

  /** The volume of a limit on homogeneity. */
  public Volume requireVolume() {
    if (volume == null) {
      throw new IllegalStateException("limit " + id + " has no volume");
    }
    return volume;
  }

  /** What is compared. */
  public enum Measure {
    PEAK_TO_PEAK,
    SURFACE_RMS,
    VOLUME_RMS,
    DRIFT;

    /** The name used in files. */
    public String id() {
      return switch (this) {
        case PEAK_TO_PEAK -> "peak_to_peak";
        case SURFACE_RMS -> "surface_rms";
        case VOLUME_RMS -> "volume_rms";
        case DRIFT -> "drift";
      };
    }
  }
}
