package org.fieldwright.core.reading;

import java.time.LocalDate;
import java.util.List;
import org.fieldwright.core.geometry.Vec3;
import org.jspecify.annotations.Nullable;

/**
 * What measures the magnet.
 *
 * @param name as people call it
 * @param gammaMHzPerT γ/2π of the sample, MHz/T
 * @param gammaSource the constant's name, for reports ("shielded proton (water), CODATA 2022")
 * @param radius default distance of the probes from the centre, m; null for free points only
 * @param probes empty for free points
 * @param rangeMHz what the reader can lock to; null if unknown
 * @param calibrated date of the last calibration; null if unknown
 * @param calibrationIntervalMonths null if none is set
 * @param uncertainty what a single reading is worth
 * @param modulus null where the probes read the component along the field, not |B|
 * @param free what every fit of its readings carries beside the field
 */
public record ProbeArray(
    String name,
    double gammaMHzPerT,
    String gammaSource,
    @Nullable Double radius,
    List<Probe> probes,
    @Nullable Range rangeMHz,
    @Nullable LocalDate calibrated,
    @Nullable Integer calibrationIntervalMonths,
    Uncertainty uncertainty,
    @Nullable Modulus modulus,
    Nuisances free) {

  public ProbeArray {
    probes = List.copyOf(probes);
  }

  /** The probe of this id, or null. */
  public @Nullable Probe probe(int id) {
    for (Probe p : probes) {
      if (p.id() == id) {
        return p;
      }
    }
    return null;
  }

  /** The probe of this id, which exists. */
  Probe requireProbe(int id) {
    Probe found = probe(id);
    if (found == null) {
      throw new IllegalStateException("no probe " + id + " in the array " + name);
    }
    return found;
  }

  /**
   * Probes that follow |B|, as all of magnetic resonance do.
   *
   * @param fieldAxis unit vector along which the component is modelled
   * @param takenOff whether what |B| has beyond the component is taken off the readings, as far as
   *     the component tells it; else it is carried as an uncertainty
   */
  public record Modulus(Vec3 fieldAxis, boolean takenOff) {}

  /** An interval of frequency, MHz. */
  public record Range(double low, double high) {}

  /**
   * One standard uncertainty of each kind; null where nothing is stated.
   *
   * @param readingPpm scatter of one reading, ppm
   * @param position of a probe, each direction, m
   * @param angle of one setting of the array, rad
   * @param normalisationPpm of the probes against each other, ppm
   */
  public record Uncertainty(
      @Nullable Double readingPpm,
      @Nullable Double position,
      @Nullable Double angle,
      @Nullable Double normalisationPpm) {
    public static final Uncertainty UNSTATED = new Uncertainty(null, null, null, null);
  }
}
