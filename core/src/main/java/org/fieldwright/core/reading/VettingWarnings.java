package org.fieldwright.core.reading;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.stream.Collectors;
import org.fieldwright.core.Calibration;
import org.fieldwright.core.harmonic.AngularSupport;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.harmonic.Term;
import org.jspecify.annotations.Nullable;

/** What a person must know before believing a survey, in whole sentences. */
final class VettingWarnings {
  private final Survey survey;
  private final ProbeArray array;
  private final VettingOptions options;
  private final Intake intake;
  private final FieldModel model;
  private final @Nullable DriftFit drift;
  private final @Nullable Double mostTakenOff;
  private final List<Finding> findings;

  VettingWarnings(
      Survey survey,
      ProbeArray array,
      VettingOptions options,
      Intake intake,
      FieldModel model,
      @Nullable DriftFit drift,
      @Nullable Double mostTakenOff,
      List<Finding> findings) {
    this.survey = survey;
    this.array = array;
    this.options = options;
    this.intake = intake;
    this.model = model;
    this.drift = drift;
    this.mostTakenOff = mostTakenOff;
    this.findings = findings;
  }

  List<String> list() {
    List<String> warnings = new ArrayList<>(survey.notes());
    findings.forEach(f -> warnings.add(f.sentences()));
    aboutDrift(warnings);
    if (mostTakenOff != null) {
      warnings.add(
          String.format(
              Locale.ROOT,
              "Up to %.4f ppm were taken off the readings for what |B| has beyond the component: the least transverse field that goes with it, none of it the same all along the axis.",
              mostTakenOff));
    }
    aboutCalibration(warnings);
    aboutSampling(warnings);
    if (model.degreesOfFreedom() < 3) {
      warnings.add(
          "The readings are too few to be checked against each other: %d degrees of freedom."
              .formatted(model.degreesOfFreedom()));
    }
    return warnings;
  }

  private void aboutDrift(List<String> warnings) {
    if (drift == null) {
      warnings.add(
          "The drift is unknown: no place was read twice. Read the first angle again at the end.");
    } else if (!intake.timed()) {
      warnings.add(
          "Not every reading carries a time: the drift was removed in the order of taking, and its rate per hour is unknown.");
    } else if (drift.rates().length > 0) {
      warnings.add(
          "The drift was not steady: between the visits of the same places it went by %s ppm/h, and so it was removed."
              .formatted(
                  Arrays.stream(drift.rates())
                      .mapToObj(r -> String.format(Locale.ROOT, "%.3f", r))
                      .collect(Collectors.joining(", then "))));
    }
  }

  private void aboutCalibration(List<String> warnings) {
    LocalDate surveyed = options.surveyed();
    if (surveyed == null) {
      return;
    }
    List<String> lapsed = new ArrayList<>();
    String ofArray =
        Calibration.lapsed(
            "array \"" + array.name() + "\"",
            array.calibrated(),
            array.calibrationIntervalMonths(),
            surveyed);
    if (ofArray != null) {
      lapsed.add(ofArray);
    }
    Calibration.lapsedReader(survey.remarks(), surveyed, lapsed);
    lapsed.forEach(l -> warnings.add(l + "; the survey is of " + surveyed + "."));
  }

  private void aboutSampling(List<String> warnings) {
    AngularSupport angles = intake.places().angles();
    int degree = model.ppm().degree();
    if (angles != null && angles.equal() && 2 * degree >= angles.count()) {
      int half = angles.count() / 2;
      if (2 * degree == angles.count()) {
        warnings.add(
            "%d equal angles show only one phase of order m = %d; the other is left empty."
                .formatted(angles.count(), half));
      } else {
        warnings.add(
            "%d equal angles cannot tell order m from %d − m: orders above %d are left empty, and what the magnet has of them falls into lower ones."
                .formatted(angles.count(), angles.count(), (angles.count() - 1) / 2));
      }
    }
    long other = model.unseen().stream().filter(t -> angles == null || !angles.hides(t)).count();
    if (other > 0) {
      warnings.add(
          "The points do not determine %d of %d terms up to degree %d (the first is %s); they are left empty."
              .formatted(
                  other,
                  Term.count(degree) - 1,
                  degree,
                  model.unseen().stream()
                      .filter(t -> angles == null || !angles.hides(t))
                      .min(java.util.Comparator.comparingInt(Term::index))
                      .map(Term::tradeName)
                      .orElse("")));
    }
  }
}
