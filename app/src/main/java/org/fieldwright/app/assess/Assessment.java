package org.fieldwright.app.assess;

import java.util.List;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.homogeneity.LimitResult;
import org.fieldwright.core.magnet.Magnet;
import org.fieldwright.core.reading.FittedSurvey;
import org.fieldwright.core.reading.VettedSurvey;

/**
 * What a survey says of a magnet, with what it was computed from.
 *
 * @param limits one result for each limit of the magnet file, in its order
 * @param warnings of the vetting and of the limits, in whole sentences
 * @param inputs every file read
 */
public record Assessment(
    Magnet magnet,
    FittedSurvey fitted,
    List<LimitResult> limits,
    List<String> warnings,
    List<Input> inputs) {

  public Assessment {
    limits = List.copyOf(limits);
    warnings = List.copyOf(warnings);
    inputs = List.copyOf(inputs);
  }

  /** A file that was read. */
  public record Input(String file, String sha256) {}

  public VettedSurvey vetted() {
    return fitted.vetted();
  }

  public FieldModel model() {
    return fitted.model();
  }

  /** Whether every limit on homogeneity is met; limits judged elsewhere (drift) are left out. */
  public boolean allMet() {
    return limits.stream()
        .map(LimitResult::verdict)
        .allMatch(v -> v == LimitResult.Verdict.MET || v == LimitResult.Verdict.NOT_ASSESSED);
  }
}
