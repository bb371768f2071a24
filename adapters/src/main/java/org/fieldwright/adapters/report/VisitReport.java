package org.fieldwright.adapters.report;

import java.time.Instant;
import java.time.ZoneId;
import java.util.List;
import org.fieldwright.core.correction.Plan;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.homogeneity.LimitResult;
import org.fieldwright.core.magnet.Magnet;
import org.fieldwright.core.reading.VettedSurvey;
import org.jspecify.annotations.Nullable;

/**
 * Everything a report says, computed elsewhere: the report adds words and pictures, no judgement.
 *
 * @param magnet what was measured
 * @param found the field as it was found
 * @param plan what to load; null where nothing is planned
 * @param afterLoading the field found again after loading; null before the second round
 * @param provenance what the numbers came from
 */
public record VisitReport(
    Magnet magnet,
    Round found,
    @Nullable Plan plan,
    @Nullable Round afterLoading,
    Provenance provenance) {

  /**
   * A survey and what it says.
   *
   * @param readingsPeakToPeakPpm of the readings used, after offsets and drift
   * @param limits in the order of the magnet file
   */
  public record Round(
      VettedSurvey survey,
      FieldModel model,
      double readingsPeakToPeakPpm,
      List<LimitResult> limits) {
    public Round {
      limits = List.copyOf(limits);
    }
  }

  /**
   * What the numbers came from; with these, anyone can compute them again.
   *
   * @param inputs files read
   * @param program name and version
   * @param options as given, e.g. "--degree" and "12"
   * @param generated time of the report
   * @param zone in which times are printed
   */
  public record Provenance(
      List<InputFile> inputs,
      String program,
      List<Option> options,
      Instant generated,
      ZoneId zone) {
    public Provenance {
      inputs = List.copyOf(inputs);
      options = List.copyOf(options);
    }
  }

  /**
   * A file read.
   *
   * @param role what it is to the report, e.g. "survey"
   * @param name as people know it
   * @param sha256 lower-case hexadecimal
   */
  public record InputFile(String role, String name, String sha256) {}

  /** An option and its value. */
  public record Option(String name, String value) {}

  /** The field as it is now: after loading where that was measured. */
  public Round latest() {
    return afterLoading != null ? afterLoading : found;
  }
}
