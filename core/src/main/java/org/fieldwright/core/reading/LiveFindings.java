package org.fieldwright.core.reading;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * What a survey shows while it is being taken, after one more setting of the array.
 *
 * @param unusable readings of this setting that did not lock or are out of range
 * @param suspicious readings of the whole survey so far that do not agree with the others; a later
 *     setting may clear one, and reading its place again replaces it
 * @param angles settings that were not where they should be; taking the setting again replaces it
 * @param probes probes that read off as a whole
 * @param drift so far: from places read twice, else from the fit of the field (then {@code pairs}
 *     is 0); null while neither tells
 * @param scatterPpm standard deviation of a reading about the field; null while there are too few
 *     readings to judge any by the others
 */
public record LiveFindings(
    List<VettedSurvey.SetAside> unusable,
    List<Suspicious> suspicious,
    List<VettedSurvey.SuspectAngle> angles,
    List<VettedSurvey.SuspectProbe> probes,
    VettedSurvey.@Nullable Drift drift,
    @Nullable Double scatterPpm) {

  public LiveFindings {
    unusable = List.copyOf(unusable);
    suspicious = List.copyOf(suspicious);
    angles = List.copyOf(angles);
    probes = List.copyOf(probes);
  }

  /**
   * A reading that does not agree with the others.
   *
   * @param ppm reading − what the others say it should be
   * @param uncertaintyPpm standard uncertainty of that difference, the reading's scatter included
   */
  public record Suspicious(Reading reading, double ppm, double uncertaintyPpm) {}
}
