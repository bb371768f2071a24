package org.fieldwright.core.reading;

import static java.util.Objects.requireNonNull;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Objects;
import java.util.Set;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.AngularSupport;
import org.fieldwright.core.harmonic.DegreeLadder;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.FieldFit;
import org.fieldwright.core.harmonic.FreePoints;
import org.fieldwright.core.harmonic.HarmonicDesign;
import org.fieldwright.core.harmonic.Sampling;
import org.fieldwright.core.harmonic.TransverseField;
import org.fieldwright.core.harmonic.WorkingFit;
import org.jspecify.annotations.Nullable;

/**
 * From raw readings to the field model: which readings to trust, drift removed, degree chosen,
 * faults found and named.
 *
 * <p>Order of work: what a reading tells by itself (lock, range, the user's word); drift from
 * revisits; a fault search at the largest degree the sampling supports; the degree by leave-one-out
 * error over what is left; a fault search at that degree; the model with its covariance.
 */
public final class Vetting {
  /** A place whose only readings did not lock keeps its row if few do; then turns stay complete. */
  private static final double MOST_EMPTY = 0.05;

  /** More pairs of probes than this are not exchanged by mistake. */
  private static final int MOST_EXCHANGES = 2;

  static final int MOST_DEGREES = 4;

  private final Survey survey;
  private final ProbeArray array;
  private final VettingOptions options;
  private final Intake intake;
  private final @Nullable DriftFit drift;
  private final NuisanceColumns nuisances;
  private final double referenceRadius;

  private List<Row> rows;
  private @Nullable TransverseField transverse; // whose part in |B| is taken off the readings
  private @Nullable HarmonicDesign design;
  private @Nullable List<Row> designed;
  private Set<Integer> empty = Set.of();
  private double referenceClock;

  /** A row of the fit: a place with the visit that stands for it, null where none locked. */
  record Row(Places.Place place, List<Visit> visits, @Nullable Visit main) {}

  private Vetting(Survey survey, ProbeArray array, VettingOptions options) {
    this.survey = survey;
    this.array = array;
    this.options = options;
    intake = Intake.of(survey, array, options.excluded());
    drift = DriftFit.of(intake.revisited(), array.uncertainty().readingPpm());
    nuisances = new NuisanceColumns(survey, intake, array.free());
    double largest = 0;
    for (Places.Place p : intake.places().places()) {
      largest = Math.max(largest, p.position().norm());
    }
    referenceRadius = array.radius() != null ? array.radius() : largest;
    requireSpread();
    rows = rows(Set.of());
  }

  /**
   * Vets a survey and fits the field.
   *
   * @throws BadInput if too few readings are usable for the degree
   */
  public static FittedSurvey vet(Survey survey, ProbeArray array, VettingOptions options) {
    Vetting vetting = new Vetting(survey, array, options);
    List<Finding> findings = new ArrayList<>();
    Settled settled = null;
    for (int pair = 0; pair < MOST_EXCHANGES; pair++) {
      Exchanged better = vetting.exchanged();
      if (better == null) {
        break;
      }
      findings.add(better.finding());
      vetting = better.vetting();
      settled = better.settled();
    }
    settled = settled == null ? vetting.settle() : settled;
    if (array.modulus() != null && array.modulus().takenOff()) {
      settled = vetting.component(settled, array.modulus().fieldAxis());
    }
    if (settled.outcome().faults() != null) {
      settled.outcome().faults().requireWanted();
    }
    findings.addAll(ProbeHabits.findings(vetting.survey, array, vetting.drift));
    findings.addAll(vetting.consistency(settled.outcome()));
    return new VettingVerdicts(vetting.basis(), settled.outcome(), settled.bad(), findings)
        .assemble();
  }

  /** The fit with its faults, and the visits another one stands in for. */
  private record Settled(Outcome outcome, Set<Visit> bad) {}

  /** The survey with two probes' readings exchanged, vetted. */
  private record Exchanged(Vetting vetting, Settled settled, Finding finding) {}

  /** The exchange of two probes that explains the readings far better; null where there is none. */
  private @Nullable Exchanged exchanged() {
    if (survey.kind() != Survey.Kind.TURNING_ARRAY) {
      return null;
    }
    int degree = supported();
    FaultSearch faults = faults(design(degree), degree, values());
    ProbeExchange suspect = ProbeExchange.suspected(faults, degree, values(), empty);
    if (suspect == null) {
      return null;
    }
    List<Integer> ids = intake.places().probeIds();
    Probe a = array.requireProbe(ids.get(suspect.first()));
    Probe b = array.requireProbe(ids.get(suspect.second()));
    Vetting other = new Vetting(survey.exchanged(a, b), array, options);
    Settled settled = other.settle();
    double evidence = suspect.evidence(requireNonNull(settled.outcome().faults()), other.values());
    return ProbeExchange.isNamed(evidence)
        ? new Exchanged(other, settled, ProbeExchange.finding(a, b, evidence, ""))
        : null;
  }

  private Settled settle() {
    Outcome outcome = search();
    Set<Visit> bad = promoted(outcome);
    if (!bad.isEmpty()) {
      rows = rows(bad);
      outcome = search();
    }
    double first = firstUsedClock(outcome.fit());
    if (first != referenceClock) {
      referenceClock = first;
      outcome = search();
    }
    return new Settled(outcome, bad);
  }

  /** Once more, with what |B| has beyond the component taken off. */
  private Settled component(Settled settled, Vec3 fieldAxis) {
    Expansion field = settled.outcome().fit().expansion();
    transverse = new TransverseField(field, fieldAxis);
    return settle();
  }

  private VettingVerdicts.Basis basis() {
    return new VettingVerdicts.Basis(
        survey, array, options, intake, drift, nuisances, transverse, rows, referenceClock);
  }

  /** Ppm of a visit, drift and what |B| has beyond the component taken off. */
  static double corrected(
      Visit visit, @Nullable DriftFit drift, @Nullable TransverseField transverse, double clock) {
    double ppm = visit.corrected(drift, clock);
    return transverse == null ? ppm : ppm - transverse.excess(visit.reading().position());
  }

  private void requireSpread() {
    if (!(referenceRadius > 0)) {
      throw new BadInput(
          survey.file()
              + ": every reading is at the origin; a field needs readings over a sphere or a cloud of points");
    }
  }

  /** Rows of the fit, each place by its first visit that is not bad. */
  private List<Row> rows(Set<Visit> bad) {
    List<Row> all = new ArrayList<>();
    int without = 0;
    double earliest = Double.POSITIVE_INFINITY;
    for (int i = 0; i < intake.visits().size(); i++) {
      List<Visit> visits = intake.visits().get(i);
      Visit main = null;
      for (Visit v : visits) {
        main = main == null && !bad.contains(v) ? v : main;
      }
      if (main == null && !visits.isEmpty()) {
        main = visits.get(0);
      }
      all.add(new Row(intake.places().places().get(i), visits, main));
      without += main == null ? 1 : 0;
      earliest = main == null ? earliest : Math.min(earliest, main.clock());
    }
    referenceClock = earliest;
    boolean keepEmpty =
        survey.kind() == Survey.Kind.TURNING_ARRAY && without <= MOST_EMPTY * all.size();
    if (!keepEmpty) {
      all.removeIf(r -> r.main() == null);
    }
    noteEmpty(all);
    return all;
  }

  private void noteEmpty(List<Row> all) {
    empty = new HashSet<>();
    for (int i = 0; i < all.size(); i++) {
      if (all.get(i).main() == null) {
        empty.add(i);
      }
    }
  }

  /**
   * The finished search.
   *
   * @param scatter standard deviation the search ended with, ppm
   * @param degree with the reason for it
   * @param faults shared ones among them; null where many free points were judged, which have none
   */
  record Outcome(FieldFit fit, double scatter, DegreeChoice degree, @Nullable FaultSearch faults) {

    static Outcome of(WorkingFit fit, FaultSearch faults, DegreeChoice degree) {
      return new Outcome(fit.solve(), faults.scatter(), degree, faults);
    }

    List<FaultSearch.Found> found() {
      return faults == null ? List.of() : faults.found();
    }
  }

  private int supported() {
    return options.degree() != null
        ? options.degree()
        : DegreeChoice.supported(intake.places(), rows.size() - empty.size());
  }

  private Outcome search() {
    int supported = supported();
    Outcome byMoments = isManyPoints(supported) ? byMoments(supported) : null;
    return byMoments == null ? byColumns(supported) : byMoments;
  }

  private boolean isManyPoints(int degree) {
    return survey.kind() == Survey.Kind.FREE_POINTS
        && nuisances.isEmpty()
        && PointVetting.suits(rows.size(), degree);
  }

  /** Null where the moments of these points do not hold digits enough. */
  private @Nullable Outcome byMoments(int supported) {
    FreePoints points = new FreePoints(sampling(), values(), supported, referenceRadius);
    return new PointVetting(points, kept(), stated()).search(supported, options.degree() != null);
  }

  private Outcome byColumns(int supported) {
    HarmonicDesign design = design(supported);
    double[] values = values();
    if (options.degree() != null) {
      FaultSearch faults = faults(design, supported, values);
      return Outcome.of(
          faults.run(), faults, new DegreeChoice(supported, "chosen by the user", List.of()));
    }
    int reach =
        nuisances.isEmpty()
            ? DegreeChoice.reach(intake.places(), rows.size() - empty.size())
            : supported; // what is carried beside the field has to be told from it
    int degree = DegreeChoice.first(intake.places(), rows.size() - empty.size());
    FaultSearch faults = faults(design, degree, values);
    FaultSearch whole = faults;
    faults.run();
    List<DegreeLadder.Rung> ladder = faults.ladder(design);
    int better = DegreeChoice.toJudge(ladder, supported, true);
    // Faults found at one degree may let another predict better.
    for (int pass = 1; pass <= MOST_DEGREES; pass++) {
      if (better == supported && design.degree() < reach) {
        design = design(reach);
        ladder = faults.ladder(design);
        better = DegreeChoice.toJudge(ladder, supported, pass == 1);
      }
      if (better == degree) {
        break;
      }
      degree = better;
      faults = faults(design, degree, values);
      faults.run();
      ladder = faults.ladder(design);
      if (pass < MOST_DEGREES) {
        better = DegreeChoice.toJudge(ladder, supported, false);
      }
    }
    // A probe's offset is told from fewer zonal terms, and lost among more.
    if (degree > supported && !whole.found().isEmpty()) {
      List<DegreeLadder.Rung> ofWhole = whole.ladder(design);
      if (DegreeChoice.leastError(ofWhole, supported)
          < DegreeChoice.leastError(ladder, supported)) {
        faults = whole;
        degree = supported;
        ladder = ofWhole;
      }
    }
    DegreeChoice choice = DegreeChoice.byPress(ladder, supported, degree);
    return Outcome.of(faults.atDegree(choice.degree()), faults, choice);
  }

  /** Rows of the fit that a person wants used. */
  private Set<Integer> kept() {
    Set<Integer> keep = new HashSet<>();
    for (int i = 0; i < rows.size(); i++) {
      Visit main = rows.get(i).main();
      if (main != null && options.kept().contains(main.reading().row())) {
        keep.add(i);
      }
    }
    return keep;
  }

  private FaultSearch faults(HarmonicDesign design, int degree, double[] values) {
    double[] hours =
        rows.stream()
            .mapToDouble(r -> r.main() == null ? 0 : r.main().clock() - referenceClock)
            .toArray();
    return new FaultSearch(design, degree, values, empty, kept(), stated(), nuisances, hours);
  }

  private FaultSearch.Tolerances stated() {
    ProbeArray.Uncertainty u = array.uncertainty();
    return new FaultSearch.Tolerances(
        orZero(u.readingPpm()),
        orZero(u.position()),
        orZero(u.angle()),
        orZero(u.normalisationPpm()));
  }

  /** Where the array stood, and whether the readings scatter as stated. */
  private List<Finding> consistency(Outcome outcome) {
    FieldFit fit = outcome.fit();
    List<Finding> findings = new ArrayList<>();
    AngularSupport angles = intake.places().angles();
    FaultSearch faults = outcome.faults();
    if (angles != null && faults != null) {
      List<Finding> found = offAxis(faults.anew(fit.degree()), angles, outcome);
      if (!found.isEmpty() && faults.degree() != fit.degree()) {
        // What of the field is above a degree may look like it; so it has to show at both.
        List<Finding> judged = offAxis(faults.anew(faults.degree()), angles, outcome);
        found =
            found.stream()
                .filter(f -> judged.stream().anyMatch(o -> o.what() == f.what()))
                .toList();
      }
      findings.addAll(found);
    }
    findings.addAll(
        ScatterCheck.findings(
            fit, stated(), ScatterCheck.Repeats.of(mains(), intake.referenceField())));
    return findings;
  }

  private List<Finding> offAxis(WorkingFit trial, AngularSupport angles, Outcome outcome) {
    return AxisOffset.findings(trial, angles, stated().position(), outcome.scatter());
  }

  /** The visits that stand for their places. */
  private List<Visit> mains() {
    return rows.stream().map(Row::main).filter(Objects::nonNull).toList();
  }

  private static double orZero(@Nullable Double value) {
    return value == null ? 0 : value;
  }

  /** The design of the rows, made once as long as rows and degree are the same. */
  private HarmonicDesign design(int degree) {
    if (design == null || designed != rows || design.degree() != degree) {
      design = newDesign(degree);
      designed = rows; // without the empty ones where those had to go
    }
    return design;
  }

  /** The design of the rows; without the empty ones where a term would rest on them alone. */
  private HarmonicDesign newDesign(int degree) {
    HarmonicDesign design =
        HarmonicDesign.of(sampling(), degree, referenceRadius, intake.places().angles());
    WorkingFit trial =
        empty.isEmpty() ? null : new WorkingFit(design, degree, new double[rows.size()]);
    if (trial != null) {
      for (int row : empty) {
        if (trial.redundancy(row) < 0.05 || !trial.setAside(row)) {
          rows = rows.stream().filter(r -> r.main() != null).toList();
          noteEmpty(rows);
          design = HarmonicDesign.of(sampling(), degree, referenceRadius, intake.places().angles());
          break;
        }
      }
    }
    int unknowns = design.columnCount(degree);
    int readings = rows.size() - empty.size();
    if (unknowns > readings || (unknowns == readings && degree > 1)) {
      throw new BadInput(
          "%s: degree %d has %d terms to determine, but only %d places were read; the largest degree these readings support is %d"
              .formatted(
                  survey.file(),
                  degree,
                  (degree + 1) * (degree + 1),
                  readings,
                  DegreeChoice.supported(intake.places(), readings)));
    }
    return design;
  }

  private Sampling sampling() {
    int n = rows.size();
    Vec3[] points = new Vec3[n];
    int[] probe = new int[n];
    int[] angle = new int[n];
    double[] rootWeight = new double[n];
    double typical = Reading.typicalDeviation(mains().stream().map(Visit::reading).toList());
    for (int i = 0; i < n; i++) {
      points[i] = rows.get(i).place().position();
      probe[i] = rows.get(i).place().probe();
      angle[i] = rows.get(i).place().angle();
      Visit main = rows.get(i).main();
      rootWeight[i] = main == null ? 1 : main.reading().rootWeight(typical);
    }
    return new Sampling(points, rootWeight, probe, angle);
  }

  private double[] values() {
    return rows.stream()
        .mapToDouble(
            r -> r.main() == null ? 0 : corrected(r.main(), drift, transverse, referenceClock))
        .toArray();
  }

  /** Outliers for which another visit of the same place can stand in. */
  private Set<Visit> promoted(Outcome outcome) {
    Set<Visit> bad = new HashSet<>();
    for (int i = 0; i < rows.size(); i++) {
      Row row = rows.get(i);
      if (row.main() != null && outcome.fit().isSetAside(i) && row.visits().size() > 1) {
        bad.add(row.main());
      }
    }
    return bad;
  }

  private double firstUsedClock(FieldFit fit) {
    double first = Double.POSITIVE_INFINITY;
    for (int i = 0; i < rows.size(); i++) {
      Visit main = rows.get(i).main();
      if (main != null && !fit.isSetAside(i)) {
        first = Math.min(first, main.clock());
      }
    }
    return first;
  }
}
