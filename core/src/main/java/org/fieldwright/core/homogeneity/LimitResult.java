package org.fieldwright.core.homogeneity;

import java.util.List;
import org.fieldwright.core.geometry.Vec3;
import org.jspecify.annotations.Nullable;

/**
 * A limit held against a field.
 *
 * @param limit what is required
 * @param valuePpm what was found; for RMS measures with the noise's share of the mean square
 *     removed; null where not assessed (drift)
 * @param uncertaintyPpm standard uncertainty; null where not assessed
 * @param noiseBiasPpm how much noise raises the plain value: already taken off for RMS measures,
 *     stated beside peak-to-peak; null where not assessed
 * @param verdict by guarded acceptance
 * @param extremes maximum first; empty for RMS measures
 * @param extrapolated whether the volume reaches beyond 1.001 × the measured radius
 */
public record LimitResult(
    Limit limit,
    @Nullable Double valuePpm,
    @Nullable Double uncertaintyPpm,
    @Nullable Double noiseBiasPpm,
    Verdict verdict,
    List<Extreme> extremes,
    boolean extrapolated) {

  public LimitResult {
    extremes = List.copyOf(extremes);
  }

  /** An extreme of the field on a volume's surface. */
  public record Extreme(double ppm, Vec3 at) {}

  /** Of a limit. */
  public enum Verdict {
    MET,
    NOT_MET,
    UNDECIDED,
    NOT_ASSESSED;

    /** The name used in files. */
    public String id() {
      return switch (this) {
        case MET -> "met";
        case NOT_MET -> "not_met";
        case UNDECIDED -> "undecided";
        case NOT_ASSESSED -> "not_assessed";
      };
    }
  }
}
