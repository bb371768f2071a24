package org.fieldwright.core.reading;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Set;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.ErrorSources;
import org.fieldwright.core.harmonic.FieldFit;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.harmonic.FieldModels;
import org.fieldwright.core.harmonic.TransverseField;
import org.fieldwright.core.reading.VettedSurvey.SetAside;
import org.fieldwright.core.reading.VettedSurvey.Why;
import org.jspecify.annotations.Nullable;

/** Puts the outcome of vetting into words: used, set aside, revisits, suspects, the model. */
final class VettingVerdicts {
  /** A second reading further from the first than this many standard deviations is bad itself. */
  static final double FAR_OFF = 6;

  private final Basis basis;
  private final FieldFit fit;
  private final Vetting.Outcome outcome;
  private final FieldModel model;
  private final double toCentre;
  private final List<VettedSurvey.Used> used = new ArrayList<>();
  private final List<SetAside> aside = new ArrayList<>();
  private final List<Reading> revisits = new ArrayList<>();
  private final Set<Visit> bad;
  private final List<Finding> findings;
  private final List<DegreeTried> tried;

  /**
   * What was vetted.
   *
   * @param transverse whose part in |B| was taken off; null where nothing was
   * @param rows of the fit
   * @param referenceClock to which drift refers
   */
  record Basis(
      Survey survey,
      ProbeArray array,
      VettingOptions options,
      Intake intake,
      @Nullable DriftFit drift,
      NuisanceColumns nuisances,
      @Nullable TransverseField transverse,
      List<Vetting.Row> rows,
      double referenceClock) {}

  /**
   * @param bad visits another one stands in for
   * @param findings of the whole survey
   */
  VettingVerdicts(Basis basis, Vetting.Outcome outcome, Set<Visit> bad, List<Finding> findings) {
    this.basis = basis;
    aside.addAll(basis.intake().setAside());
    fit = outcome.fit();
    this.outcome = outcome;
    this.bad = bad;
    this.findings = List.copyOf(findings);
    tried = outcome.degree().tried();
    model =
        FieldModels.of(fit, basis.intake().referenceField(), errors(), outcome.degree().reason());
    toCentre = basis.intake().referenceField() / model.centreField();
  }

  private ErrorSources errors() {
    ProbeArray.Uncertainty u = basis.array().uncertainty();
    List<ErrorSources.Pattern> ofDrift = new ArrayList<>();
    if (basis.drift() != null) {
      basis.drift().errors().forEach(e -> ofDrift.add(row -> sinceReference(e, row)));
    }
    return new ErrorSources(
        u.readingPpm(), u.position(), u.angle(), u.normalisationPpm(), carried(), ofDrift);
  }

  /** The axis of the component where the readings are of |B| and nothing was taken off. */
  private @Nullable Vec3 carried() {
    ProbeArray.Modulus modulus = basis.array().modulus();
    return modulus == null || modulus.takenOff() ? null : modulus.fieldAxis();
  }

  private double corrected(Visit visit) {
    return Vetting.corrected(visit, basis.drift(), basis.transverse(), basis.referenceClock());
  }

  private double sinceReference(DriftFit.Pattern error, int row) {
    Visit main = basis.rows().get(row).main();
    return main == null ? 0 : error.at(main.clock()) - error.at(basis.referenceClock());
  }

  FittedSurvey assemble() {
    double least = Double.POSITIVE_INFINITY;
    double most = Double.NEGATIVE_INFINITY;
    for (int i = 0; i < basis.rows().size(); i++) {
      Visit main = basis.rows().get(i).main();
      if (main == null) {
        continue;
      }
      double ppm = corrected(main);
      double residual = residual(i, ppm);
      if (fit.isSetAside(i)) {
        aside.add(new SetAside(main.reading(), Why.OUTLIER, residual));
      } else {
        used.add(new VettedSurvey.Used(main.reading(), field(ppm), residual));
        least = Math.min(least, ppm);
        most = Math.max(most, ppm);
      }
      judgeOthers(i, main);
    }
    completeSetAside();
    aside.sort(java.util.Comparator.comparingInt(a -> a.reading().row()));
    used.sort(java.util.Comparator.comparingInt(u -> u.reading().row()));
    revisits.sort(java.util.Comparator.comparingInt(Reading::row));
    List<String> warnings =
        new VettingWarnings(
                basis.survey(),
                basis.array(),
                basis.options(),
                basis.intake(),
                model,
                basis.drift(),
                mostTakenOff(),
                findings)
            .list();
    VettedSurvey vetted =
        new VettedSurvey(
            basis.survey(),
            used,
            aside,
            revisits,
            probes(),
            angles(),
            basis.nuisances().freed(outcome.found(), toCentre),
            findings,
            driftResult(),
            warnings);
    return new FittedSurvey(vetted, model, (most - least) * toCentre, tried);
  }

  /** Ppm of |B| beyond the component that was taken off a reading, at most; null where none was. */
  private @Nullable Double mostTakenOff() {
    TransverseField transverse = basis.transverse();
    return transverse == null
        ? null
        : (Double)
            used.stream()
                .mapToDouble(u -> transverse.excess(u.reading().position()))
                .max()
                .orElse(0);
  }

  private double field(double ppm) {
    return basis.intake().referenceField() * (1 + ppm * 1e-6);
  }

  private double residual(int row, double ppm) {
    return (field(ppm) / model.centreField() - 1) * 1e6
        - model.ppm().at(basis.rows().get(row).place().position());
  }

  /** The other visits of a row's place: revisits, unless they are bad themselves. */
  private void judgeOthers(int row, Visit main) {
    for (Visit v : basis.rows().get(row).visits()) {
      if (v.equals(main)) {
        continue;
      }
      double residual = residual(row, corrected(v));
      boolean outlier = bad.contains(v) || (!fit.isSetAside(row) && farOff(row, main, residual));
      if (outlier && !basis.options().kept().contains(v.reading().row())) {
        aside.add(new SetAside(v.reading(), Why.OUTLIER, residual));
      } else {
        revisits.add(v.reading());
      }
    }
  }

  /**
   * Against the main reading too, so that a model error or a shared fault is not held against it.
   */
  private boolean farOff(int row, Visit main, double residual) {
    double ofMain = residual(row, corrected(main));
    double apart = Math.abs(residual - ofMain) / toCentre / Math.sqrt(2);
    double spread = basis.drift() == null ? 0 : basis.drift().spread() / Math.sqrt(2);
    return apart > FAR_OFF * Math.max(outcome.scatter(), spread);
  }

  /** Readings out of range or excluded still say how far they are from the fit. */
  private void completeSetAside() {
    for (int i = 0; i < aside.size(); i++) {
      SetAside a = aside.get(i);
      if (a.ppm() == null && a.why() != Why.NO_LOCK && a.reading().field() != null) {
        double ppm = (a.reading().field() / model.centreField() - 1) * 1e6;
        aside.set(
            i, new SetAside(a.reading(), a.why(), ppm - model.ppm().at(a.reading().position())));
      }
    }
  }

  private List<VettedSurvey.SuspectProbe> probes() {
    List<VettedSurvey.SuspectProbe> list = new ArrayList<>();
    for (FaultSearch.Found found : outcome.found()) {
      if (found.fault() instanceof SharedFault.OfProbe p && !basis.nuisances().isWanted(p)) {
        list.add(
            new VettedSurvey.SuspectProbe(
                basis.intake().places().probeIds().get(p.probe()),
                found.value() * toCentre,
                found.uncertainty() * toCentre));
      }
    }
    return list;
  }

  private List<VettedSurvey.SuspectAngle> angles() {
    List<VettedSurvey.SuspectAngle> list = new ArrayList<>();
    var support = basis.intake().places().angles();
    for (FaultSearch.Found found : outcome.found()) {
      if (found.fault() instanceof SharedFault.OfAngle a
          && support != null
          && !basis.nuisances().isWanted(a)) {
        list.add(
            new VettedSurvey.SuspectAngle(
                support.distinct().get(a.angle()),
                Math.toDegrees(found.value()),
                Math.toDegrees(found.uncertainty())));
      }
    }
    return list;
  }

  private VettedSurvey.@Nullable Drift driftResult() {
    if (basis.drift() == null) {
      return null;
    }
    boolean known = !Double.isNaN(basis.drift().slopeUncertainty());
    return new VettedSurvey.Drift(
        basis.intake().timed() ? basis.drift().slope() * toCentre : null,
        basis.intake().timed() && known ? basis.drift().slopeUncertainty() * toCentre : null,
        basis.drift().spread() * toCentre,
        basis.drift().pairs(),
        basis.intake().timed()
            ? Arrays.stream(basis.drift().rates()).mapToObj(r -> r * toCentre).toList()
            : List.of());
  }
}
