package org.fieldwright.core.reading;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * A survey after judgement: every reading is used, set aside with its reason, or a revisit.
 *
 * @param survey as it was read; readings of probes found exchanged with the probe that took them
 * @param used what the field model rests on
 * @param setAside what it does not rest on, and why
 * @param revisits readings of a place already read; they feed the drift
 * @param suspectProbes probes that read off as a whole
 * @param suspectAngles settings of the array that were not where the sheet says
 * @param freed what a person wanted carried in the fit beside the field
 * @param findings other mistakes found
 * @param drift null if no place was read twice
 * @param warnings what a person must know before believing the rest
 */
public record VettedSurvey(
    Survey survey,
    List<Used> used,
    List<SetAside> setAside,
    List<Reading> revisits,
    List<SuspectProbe> suspectProbes,
    List<SuspectAngle> suspectAngles,
    List<Freed> freed,
    List<Finding> findings,
    @Nullable Drift drift,
    List<String> warnings) {

  public VettedSurvey {
    used = List.copyOf(used);
    setAside = List.copyOf(setAside);
    revisits = List.copyOf(revisits);
    suspectProbes = List.copyOf(suspectProbes);
    suspectAngles = List.copyOf(suspectAngles);
    freed = List.copyOf(freed);
    findings = List.copyOf(findings);
    warnings = List.copyOf(warnings);
  }

  /**
   * A reading that is used.
   *
   * @param field T, after the probe's offset and the drift
   * @param residualPpm reading − fit
   */
  public record Used(Reading reading, double field, double residualPpm) {}

  /**
   * A reading that is not used.
   *
   * @param ppm reading − fit; null for a missing lock
   */
  public record SetAside(Reading reading, Why why, @Nullable Double ppm) {}

  /** Why a reading is set aside. */
  public enum Why {
    NO_LOCK,
    OUT_OF_RANGE,
    OUTLIER,
    EXCLUDED;

    /** The name used in files. */
    public String id() {
      return switch (this) {
        case NO_LOCK -> "no_lock";
        case OUT_OF_RANGE -> "out_of_range";
        case OUTLIER -> "outlier";
        case EXCLUDED -> "excluded";
      };
    }
  }

  /** Offset = reading − truth, ppm. */
  public record SuspectProbe(int probe, double offsetPpm, double uncertaintyPpm) {}

  /** Error = true − stated, degrees. */
  public record SuspectAngle(double angleDeg, double errorDeg, double uncertaintyDeg) {}

  /** An unknown that was carried in the fit because a person wanted it; standard uncertainty. */
  public sealed interface Freed {
    double value();

    double uncertainty();

    /** Reading − truth of a probe, ppm. */
    record Offset(int probe, double value, double uncertainty) implements Freed {}

    /** True − stated, degrees. */
    record Angle(double angleDeg, double value, double uncertainty) implements Freed {}

    /** Of all readings beyond what revisits took off, ppm per hour. */
    record Drift(double value, double uncertainty) implements Freed {}
  }

  /**
   * The common drift during the survey, positive when the field rises.
   *
   * @param ppmPerHour null where no reading carries a time: then the drift was removed along the
   *     order of the readings
   * @param uncertaintyPpmPerHour null with it
   * @param spreadPpm standard deviation across the revisited places of their own change
   * @param pairs how many revisits it rests on
   * @param piecesPpmPerHour rates one after the other of a drift that bends, whose mean rate the
   *     other is; empty where it is straight or no reading carries a time
   */
  public record Drift(
      @Nullable Double ppmPerHour,
      @Nullable Double uncertaintyPpmPerHour,
      double spreadPpm,
      int pairs,
      List<Double> piecesPpmPerHour) {

    public Drift {
      piecesPpmPerHour = List.copyOf(piecesPpmPerHour);
    }
  }
}
