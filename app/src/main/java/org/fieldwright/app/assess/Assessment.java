package org.fieldwright.app.assess;

import java.util.ArrayList;
import java.util.List;
import org.fieldwright.core.harmonic.ArrayPlacement;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.harmonic.MagneticCentre;
import org.fieldwright.core.homogeneity.LimitResult;
import org.fieldwright.core.magnet.Magnet;
import org.fieldwright.core.reading.EarlierSurvey;
import org.fieldwright.core.reading.Finding;
import org.fieldwright.core.reading.FittedSurvey;
import org.fieldwright.core.reading.VettedSurvey;
import org.jspecify.annotations.Nullable;

/**
 * What a survey says of a magnet, with what it was computed from.
 *
 * @param limits one result for each limit of the magnet file, in its order
 * @param warnings of the vetting and of the limits, in whole sentences
 * @param inputs every file read
 * @param centre the magnetic centre; null where the field has none within the sphere read
 * @param limitsAtCentre every limit if its volume were centred there; empty with it
 * @param beside what an earlier survey shows of this one; null without one
 */
public record Assessment(
    Magnet magnet,
    FittedSurvey fitted,
    List<LimitResult> limits,
    List<String> warnings,
    List<Input> inputs,
    @Nullable MagneticCentre centre,
    List<LimitResult> limitsAtCentre,
    @Nullable EarlierSurvey beside) {

  public Assessment {
    limits = List.copyOf(limits);
    warnings = List.copyOf(warnings);
    inputs = List.copyOf(inputs);
    limitsAtCentre = List.copyOf(limitsAtCentre);
  }

  /** The same of a magnet with something else in its pockets, which no figure here rests on. */
  public Assessment withMagnet(Magnet other) {
    return new Assessment(other, fitted, limits, warnings, inputs, centre, limitsAtCentre, beside);
  }

  /** A file that was read. */
  public record Input(String file, String sha256) {}

  public VettedSurvey vetted() {
    return fitted.vetted();
  }

  /** How the array stood relative to an earlier survey, likeliest first; empty without one. */
  public List<ArrayPlacement> placement() {
    return beside == null ? List.of() : beside.placement();
  }

  /** Mistakes found beyond single readings, probes and angles. */
  public List<Finding> findings() {
    List<Finding> all = new ArrayList<>(vetted().findings());
    if (beside != null) {
      all.addAll(beside.findings());
    }
    return all;
  }

  public FieldModel model() {
    return fitted.model();
  }

  /** Whether every limit on homogeneity is met; limits judged elsewhere (drift) are left out. */
  public boolean allMet() {
    return limits.stream().map(LimitResult::verdict).allMatch(LimitResult.Verdict::isKept);
  }
}
