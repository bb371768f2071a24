package org.fieldwright.core.homogeneity;

import java.util.List;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.uncertainty.Interval;
import org.fieldwright.core.uncertainty.UncertaintyBudget;
import org.jspecify.annotations.Nullable;

/**
 * A limit held against a field.
 *
 * @param limit what is required
 * @param valuePpm what was found; for RMS measures with the noise's share of the mean square
 *     removed; null where not assessed (drift)
 * @param uncertaintyPpm standard uncertainty of {@code valuePpm}; for peak-to-peak, whose noise
 *     bias is not taken off, that bias included (JCGM 100:2008, F.2.4.5); null where not assessed
 * @param noiseBiasPpm how much noise raises the plain value: already taken off for RMS measures,
 *     stated beside peak-to-peak; null where not assessed
 * @param interval95 95 % coverage interval of the true value, noise's share removed; null where not
 *     assessed
 * @param budget where the uncertainty comes from; null where not assessed, without lines where
 *     nothing is uncertain
 * @param verdict by guarded acceptance
 * @param extremes maximum first; empty for RMS measures
 * @param extrapolated whether the volume reaches beyond 1.001 × the measured radius
 */
public record LimitResult(
    Limit limit,
    @Nullable Double valuePpm,
    @Nullable Double uncertaintyPpm,
    @Nullable Double noiseBiasPpm,
    @Nullable Interval interval95,
    @Nullable UncertaintyBudget budget,
    Verdict verdict,
    List<Extreme> extremes,
    boolean extrapolated) {

  public LimitResult {
    extremes = List.copyOf(extremes);
  }

  /** Of a limit that is not judged here. */
  public static LimitResult notAssessed(Limit limit) {
    return new LimitResult(
        limit, null, null, null, null, null, Verdict.NOT_ASSESSED, List.of(), false);
  }

  /** An extreme of the field on a volume's surface. */
  public record Extreme(double ppm, Vec3 at) {}

  /** Of a limit. */
  public enum Verdict {
    MET,
    NOT_MET,
    UNDECIDED,
    NOT_ASSESSED;

    /** Whether nothing speaks against the magnet: met, or judged elsewhere. */
    public boolean isKept() {
      return this == MET || this == NOT_ASSESSED;
    }

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
