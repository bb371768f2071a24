package org.fieldwright.adapters.report;

import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.SplittableRandom;
import org.fieldwright.adapters.text.Numerals;
import org.fieldwright.core.correction.IronSystem;
import org.fieldwright.core.correction.Loading;
import org.fieldwright.core.correction.PieceType;
import org.fieldwright.core.correction.Plan;
import org.fieldwright.core.correction.Pocket;
import org.fieldwright.core.correction.Promise;
import org.fieldwright.core.correction.RoundReview;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.geometry.Volume;
import org.fieldwright.core.harmonic.Covariance;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.harmonic.Term;
import org.fieldwright.core.homogeneity.GlobalRisk;
import org.fieldwright.core.homogeneity.Limit;
import org.fieldwright.core.homogeneity.Limit.Measure;
import org.fieldwright.core.homogeneity.LimitResult;
import org.fieldwright.core.homogeneity.LimitResult.Extreme;
import org.fieldwright.core.homogeneity.LimitResult.Verdict;
import org.fieldwright.core.magnet.Magnet;
import org.fieldwright.core.reading.Nuisances;
import org.fieldwright.core.reading.Probe;
import org.fieldwright.core.reading.ProbeArray;
import org.fieldwright.core.reading.Reading;
import org.fieldwright.core.reading.Survey;
import org.fieldwright.core.reading.VettedSurvey;
import org.fieldwright.core.reading.VettedSurvey.Drift;
import org.fieldwright.core.reading.VettedSurvey.SetAside;
import org.fieldwright.core.reading.VettedSurvey.SuspectAngle;
import org.fieldwright.core.reading.VettedSurvey.SuspectProbe;
import org.fieldwright.core.reading.VettedSurvey.Used;
import org.fieldwright.core.reading.VettedSurvey.Why;
import org.fieldwright.core.stability.FieldLog;
import org.fieldwright.core.stability.LogTrace;
import org.fieldwright.core.stability.StabilityAnalysis;
import org.fieldwright.core.stability.StabilityReport;
import org.fieldwright.core.uncertainty.Interval;
import org.fieldwright.core.uncertainty.UncertaintyBudget;

/**
 * A made-up visit of the size of a real one: 24 probes at 24 angles and a loading of 24 trays.
 * Numbers are plausible, not computed from one another.
 */
final class DemoVisit {
  static final double RADIUS = 0.2;
  static final double BC = 0.5501234;
  static final double GAMMA = 42.57638543;
  static final Instant START = Instant.parse("2026-11-25T08:12:00Z");

  private DemoVisit() {}

  static Magnet magnet() {
    List<Probe> probes = new ArrayList<>();
    for (int i = 1; i <= 24; i++) {
      probes.add(new Probe(i, Math.PI * (i - 0.5) / 24, RADIUS, 0));
    }
    ProbeArray array =
        new ProbeArray(
            "half ring, 24 probes",
            GAMMA,
            "shielded proton (water), CODATA 2022",
            RADIUS,
            probes,
            new ProbeArray.Range(22.2, 24.6),
            LocalDate.of(2026, 3, 2),
            12,
            new ProbeArray.Uncertainty(0.02, 2e-4, Math.toRadians(0.2), 0.02),
            null,
            Nuisances.NONE);
    return new Magnet(
        "Kestrel Ridge recommissioning",
        "KR-055-07",
        0.55,
        Vec3.UNIT_Z,
        array,
        limits(),
        iron(),
        List.of());
  }

  static List<Limit> limits() {
    return List.of(
        new Limit("imaging", Measure.PEAK_TO_PEAK, new Volume.Sphere(0.2), 20),
        new Limit("core", Measure.VOLUME_RMS, new Volume.Sphere(0.15), 0.5),
        new Limit("torso", Measure.SURFACE_RMS, new Volume.Ellipsoid(0.2, 0.2, 0.18), 2),
        new Limit("rod", Measure.PEAK_TO_PEAK, new Volume.Cylinder(0.15, 0.1), 10),
        new Limit("stability", Measure.DRIFT, null, 0.1));
  }

  static IronSystem iron() {
    double[] z = {-0.56, -0.48, -0.4, 0.4, 0.48, 0.56};
    List<Pocket> pockets = new ArrayList<>();
    for (int tray = 1; tray <= 24; tray++) {
      for (int k = 1; k <= z.length; k++) {
        double azimuth = Math.toRadians(7.5 + 15 * (tray - 1));
        pockets.add(new Pocket(tray, k, Vec3.cylindrical(0.37, azimuth, z[k - 1]), null));
      }
    }
    Map<Loading.Place, Integer> installed = new HashMap<>();
    installed.put(new Loading.Place(2, 3, "thick"), 4);
    installed.put(new Loading.Place(5, 1, "thin"), 7);
    return new IronSystem(
        pockets,
        List.of(piece("thin", 1e-4), piece("thick", 1e-3)),
        new IronSystem.Capacity(0.012, null),
        2.5,
        Set.of(new IronSystem.PocketId(3, 1)),
        new Loading(installed),
        Map.of("thin", 0.97),
        20.0,
        new IronSystem.Errors(0.01, 0.005, 5e-4, 0.01),
        "service end",
        IronSystem.Stack.CENTRED);
  }

  private static PieceType piece(String id, double thickness) {
    return new PieceType(
        id, new PieceType.Size(0.04, 0.05, thickness), 0.04 * 0.05 * thickness, 2.1, 7850);
  }

  /** Decaying with degree, like a magnet after a move; seeded. */
  static Expansion field(int degree, double scalePpm, long seed) {
    SplittableRandom random = new SplittableRandom(seed);
    double[] c = new double[Term.count(degree)];
    for (int i = 1; i < c.length; i++) {
      c[i] = scalePpm * Math.pow(0.55, Term.at(i).n()) * (2 * random.nextDouble() - 1);
    }
    return new Expansion(RADIUS, c);
  }

  static FieldModel model(Expansion ppm) {
    int size = Term.count(ppm.degree());
    double[] covariance = new double[size * size];
    for (int i = 0; i < size; i++) {
      covariance[i * size + i] = Math.pow(0.004 * Math.sqrt(2 * Term.at(i).n() + 1), 2);
    }
    return new FieldModel(
        ppm,
        BC,
        Set.of(new Term(12, 12, Term.Part.SIN)),
        new Covariance(size, covariance),
        List.of(
            share(FieldModel.Source.READING, size, covariance, 0.2),
            share(FieldModel.Source.POSITION, size, covariance, 0.5),
            share(FieldModel.Source.ANGLE, size, covariance, 0.1),
            share(FieldModel.Source.NORMALISATION, size, covariance, 0.2)),
        3.14,
        0.0213,
        399,
        RADIUS,
        "the largest degree whose terms lower the leave-one-out error");
  }

  private static FieldModel.Share share(
      FieldModel.Source source, int size, double[] whole, double fraction) {
    double[] part = Arrays.stream(whole).map(v -> v * fraction).toArray();
    return new FieldModel.Share(source, new Covariance(size, part));
  }

  static VettedSurvey survey(Expansion ppm, String file) {
    List<Reading> readings = new ArrayList<>();
    List<Used> used = new ArrayList<>();
    List<SetAside> aside = new ArrayList<>();
    List<Reading> revisits = new ArrayList<>();
    SplittableRandom random = new SplittableRandom(11);
    for (int a = 0; a <= 24; a++) {
      for (int p = 1; p <= 24; p++) {
        Vec3 at = Vec3.spherical(RADIUS, Math.PI * (p - 0.5) / 24, Math.toRadians(15.0 * a));
        boolean unlocked = (a == 3 && p == 17) || (a == 20 && p == 2);
        Double field = unlocked ? null : BC * (1 + 1e-6 * ppm.at(at));
        int turn = a * 24 + p;
        Reading r =
            new Reading(
                turn + 1,
                p,
                15.0 * (a % 24),
                at,
                field,
                2e-9,
                8,
                unlocked ? 0 : 8,
                START.plusSeconds(5L * turn),
                turn);
        readings.add(r);
        if (a == 24) {
          revisits.add(r);
        } else if (field == null) {
          aside.add(new SetAside(r, Why.NO_LOCK, null));
        } else if ((a == 8 && p == 9) || (a == 15 && p == 21)) {
          aside.add(new SetAside(r, Why.OUTLIER, a == 8 ? 4.137 : -38.2));
        } else if (a == 11 && p == 24) {
          aside.add(new SetAside(r, Why.OUT_OF_RANGE, -1812.0));
        } else {
          used.add(new Used(r, field, 0.04 * (random.nextDouble() - 0.5)));
        }
      }
    }
    Survey survey =
        new Survey(
            file,
            Survey.Kind.TURNING_ARRAY,
            readings,
            true,
            Map.of("operator", "night shift"),
            List.of("column “note” is not known and was left out"));
    return new VettedSurvey(
        survey,
        used,
        aside,
        revisits,
        List.of(new SuspectProbe(9, 0.412, 0.031)),
        List.of(new SuspectAngle(90, 1.84, 0.11)),
        List.of(new VettedSurvey.Freed.Offset(4, 0.207, 0.018)),
        List.of(),
        new Drift(0.083, 0.012, 0.021, 24, List.of()),
        List.of("The 24 angles alias orders m and 24 − m; at m = 12 only the cosine is seen."));
  }

  /** Every 2° over the surface: near enough for a picture. */
  static List<LimitResult> results(Expansion ppm, double uncertainty) {
    List<LimitResult> results = new ArrayList<>();
    for (Limit limit : limits()) {
      if (limit.volume() == null) {
        results.add(LimitResult.notAssessed(limit));
        continue;
      }
      results.add(result(limit, limit.requireVolume(), ppm, uncertainty));
    }
    return results;
  }

  private static LimitResult result(Limit limit, Volume volume, Expansion ppm, double uncertainty) {
    EnumMap<Sign, Extreme> extremes = new EnumMap<>(Sign.class);
    double sum = 0;
    double squares = 0;
    double weight = 0;
    for (int i = 0; i <= 60; i++) {
      for (int k = 0; k < 120; k++) {
        double polar = Math.PI * i / 60;
        Vec3 u = Vec3.spherical(1, polar, Math.PI * k / 60);
        Vec3 at = u.times(reach(volume, u));
        double v = ppm.at(at);
        sum += v * Math.sin(polar);
        squares += v * v * Math.sin(polar);
        weight += Math.sin(polar);
        extremes.merge(Sign.HIGH, new Extreme(v, at), (x, y) -> x.ppm() >= y.ppm() ? x : y);
        extremes.merge(Sign.LOW, new Extreme(v, at), (x, y) -> x.ppm() <= y.ppm() ? x : y);
      }
    }
    boolean peak = limit.measure() == Measure.PEAK_TO_PEAK;
    List<Extreme> both = List.of(extremes.get(Sign.HIGH), extremes.get(Sign.LOW));
    double value =
        peak
            ? both.get(0).ppm() - both.get(1).ppm()
            : Math.sqrt(squares / weight - Math.pow(sum / weight, 2));
    double u = peak ? uncertainty : uncertainty / 4;
    Verdict verdict =
        value + 1.645 * u <= limit.limit()
            ? Verdict.MET
            : value - 1.645 * u > limit.limit() ? Verdict.NOT_MET : Verdict.UNDECIDED;
    Interval interval = new Interval(value - 2 * u, value + 2 * u);
    UncertaintyBudget budget =
        new UncertaintyBudget(List.of(new UncertaintyBudget.Line(FieldModel.Source.READING, u)));
    return new LimitResult(
        limit, value, u, 0.3 * u, interval, budget, verdict, peak ? both : List.of(), false);
  }

  private enum Sign {
    HIGH,
    LOW
  }

  private static double reach(Volume volume, Vec3 u) {
    double low = 0;
    double high = volume.outerRadius() * 1.01;
    for (int i = 0; i < 50; i++) {
      double middle = (low + high) / 2;
      if (volume.contains(u.times(middle))) {
        low = middle;
      } else {
        high = middle;
      }
    }
    return low;
  }

  static Plan plan(Expansion found, Expansion predicted) {
    SplittableRandom random = new SplittableRandom(5);
    IronSystem iron = iron();
    Map<Loading.Place, Integer> planned = new HashMap<>();
    int added = 0;
    double mass = 0;
    for (Pocket p : iron.pockets()) {
      for (PieceType piece : iron.pieces()) {
        Loading.Place place = new Loading.Place(p.tray(), p.number(), piece.id());
        int from = iron.installed().count(place);
        int to = p.tray() == 7 || random.nextInt(3) == 0 ? from : random.nextInt(12);
        if (p.tray() == 3 && p.number() == 1) {
          to = from;
        }
        planned.put(place, to);
        added += Math.max(0, to - from);
        mass += Math.max(0, to - from) * piece.mass();
      }
    }
    List<LimitResult> before = results(found, 0);
    List<LimitResult> after = results(predicted, 0);
    return new Plan(
        Plan.Goal.PEAK_TO_PEAK,
        "imaging",
        Objects.requireNonNull(before.get(0).valuePpm()),
        6.06,
        null,
        null,
        Objects.requireNonNull(after.get(0).valuePpm()),
        0,
        0,
        new Promise(8.1, 9.04, 0.05, 400, 95, 0.01),
        iron.installed(),
        new Loading(planned),
        added,
        3,
        mass,
        140,
        190.4,
        Map.of("Z2", 0.0),
        Map.of("Z2", 1.21),
        Map.of("Z2", 1.254),
        0,
        after,
        predicted,
        null,
        12345,
        7,
        List.of("Tray 11 comes within 40 g of its mass limit."));
  }

  static VisitReport.Provenance provenance() {
    return new VisitReport.Provenance(
        List.of(
            new VisitReport.InputFile("magnet file", "kestrel-ridge.yaml", "ab12".repeat(16)),
            new VisitReport.InputFile("survey", "visit-1.csv", "0c9f".repeat(16))),
        "Fieldwright 0.1.0",
        List.of(new VisitReport.Option("--degree", "12"), new VisitReport.Option("--seed", "7")),
        Instant.parse("2026-11-25T10:30:00Z"),
        ZoneOffset.UTC,
        Numerals.ENGLISH);
  }

  static VisitReport.Surveyed surveyed(Expansion ppm, String file, double uncertainty) {
    return new VisitReport.Surveyed(
        survey(ppm, file), model(ppm), 356.2, results(ppm, uncertainty));
  }

  /** Found, planned, loaded and found again, twice, with a field log. */
  static VisitReport loaded() {
    VisitReport planned = planned();
    Plan first = Objects.requireNonNull(planned.rounds().get(0).plan());
    VisitReport.Surveyed between = surveyed(field(12, 30, 7), "visit-1-round-2.csv", 0.24);
    VisitReport.Surveyed last = surveyed(field(12, 3, 5), "visit-1-round-3.csv", 0.24);
    RoundReview review =
        new RoundReview(
            first.predicted(),
            first.predicted(),
            List.of(new RoundReview.Strength("thin", 0.981, 0.004, 0.9516)),
            412,
            160,
            List.of());
    return report(
        planned,
        List.of(
            new VisitReport.Round(iron(), first, between, review),
            new VisitReport.Round(iron(), plan(field(12, 30, 7), field(24, 3, 8)), last, review)),
        List.of(log()),
        last.limits(),
        Map.of("imaging", new GlobalRisk.Prior(14, 3)));
  }

  /** Found, planned, not yet loaded. */
  static VisitReport planned() {
    Expansion found = field(12, 260, 3);
    Expansion predicted = field(24, 6, 4);
    VisitReport.Surveyed survey = surveyed(found, "visit-1.csv", 0.21);
    return new VisitReport(
        magnet(),
        survey,
        List.of(new VisitReport.Round(iron(), plan(found, predicted), null, null)),
        List.of(),
        survey.limits(),
        new VisitReport.Title("Kestrel Ridge, bay 2", "A. Field", null, "FR-118"),
        Map.of(),
        provenance());
  }

  /** The same with its numbers written in another way. */
  static VisitReport written(VisitReport report, Numerals numerals) {
    VisitReport.Provenance p = report.provenance();
    return new VisitReport(
        report.magnet(),
        report.found(),
        report.rounds(),
        report.logs(),
        report.judged(),
        report.title(),
        report.priors(),
        new VisitReport.Provenance(
            p.inputs(), p.program(), p.options(), p.generated(), p.zone(), numerals));
  }

  private static VisitReport report(
      VisitReport base,
      List<VisitReport.Round> rounds,
      List<VisitReport.Log> logs,
      List<LimitResult> judged,
      Map<String, GlobalRisk.Prior> priors) {
    return new VisitReport(
        base.magnet(), base.found(), rounds, logs, judged, base.title(), priors, base.provenance());
  }

  /** Six hours of a falling field with white noise, a step in it, read every ten seconds. */
  private static VisitReport.Log log() {
    FieldLog.Builder builder = new FieldLog.Builder();
    SplittableRandom random = new SplittableRandom(13);
    for (int i = 0; i < 2160; i++) {
      double ppm = -0.02 * i / 360 + 0.004 * random.nextGaussian() + (i > 1400 ? 0.2 : 0);
      builder.add(START.getEpochSecond() + 10L * i, 0, BC * (1 + 1e-6 * ppm));
    }
    FieldLog log = builder.build();
    StabilityReport report = StabilityAnalysis.of(log, null, limits(), null);
    return new VisitReport.Log(
        1,
        "log-1.csv",
        null,
        log.start(),
        log.duration(),
        log.size(),
        LogTrace.of(log, report.referenceField(), 200),
        report);
  }
}
