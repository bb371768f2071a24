package org.fieldwright.app.assess;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.geometry.Volume;
import org.fieldwright.core.harmonic.ArrayPlacement;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.harmonic.Term;
import org.fieldwright.core.homogeneity.LimitResult;
import org.fieldwright.core.reading.FittedSurvey;
import org.fieldwright.core.reading.Reading;
import org.fieldwright.core.reading.VettedSurvey;
import org.fieldwright.core.uncertainty.UncertaintyBudget;

/** The assessment for a person at a terminal: the answer first, then what it rests on. */
public final class AssessmentText {
  private static final int LARGEST_TERMS = 8;
  private static final int NEAR_DEGREES = 3;

  private AssessmentText() {}

  /** The whole text. */
  public static String of(Assessment a) {
    List<String> lines = new ArrayList<>();
    lines.add(title(a));
    lines.add("");
    for (LimitResult r : a.limits()) {
      lines.add(verdict(r));
      if (r.verdict() == LimitResult.Verdict.UNDECIDED) {
        lines.addAll(wayOut(r));
      }
    }
    if (a.limits().isEmpty()) {
      lines.add("The magnet file states no limits.");
    }
    lines.add("");
    field(a, lines);
    placement(a, lines);
    lines.add("");
    readings(a.vetted(), lines);
    if (!a.warnings().isEmpty()) {
      lines.add("");
      a.warnings().forEach(w -> lines.add("! " + w));
    }
    return String.join("\n", lines) + "\n";
  }

  private static String title(Assessment a) {
    String serial = a.magnet().serial() == null ? "" : " (" + a.magnet().serial() + ")";
    return a.magnet().name() + serial + ", survey " + a.vetted().survey().file();
  }

  /** One limit in one line. */
  public static String verdict(LimitResult r) {
    String id = r.limit().id();
    if (r.valuePpm() == null || r.uncertaintyPpm() == null) {
      return "%-10s %s: the limit of %s ppm/h is judged from a field log, see `watch`"
          .formatted("NOT JUDGED", id, trim(r.limit().limit()));
    }
    String word =
        switch (r.verdict()) {
          case MET -> "MET";
          case NOT_MET -> "NOT MET";
          case UNDECIDED -> "UNDECIDED";
          case NOT_ASSESSED -> "NOT JUDGED";
        };
    return "%-10s %s: %s ppm %s over %s; limit %s ppm%s"
        .formatted(
            word,
            id,
            withUncertainty(r.valuePpm(), r.uncertaintyPpm()),
            measure(r),
            volume(r.limit().requireVolume()),
            trim(r.limit().limit()),
            r.extrapolated() ? " (extrapolated)" : "");
  }

  /** What would settle an undecided limit. */
  private static List<String> wayOut(LimitResult r) {
    UncertaintyBudget budget = r.budget();
    FieldModel.Source source = budget == null ? null : budget.dominant();
    if (budget == null || source == null) {
      return List.of();
    }
    return List.of(
        "           its uncertainty is mostly the %s; half of that would leave ± %s ppm: %s"
            .formatted(
                source.words(),
                significant(budget.afterHalvingDominantPpm()),
                UncertaintyBudget.remedy(source)));
  }

  private static String measure(LimitResult r) {
    return switch (r.limit().measure()) {
      case PEAK_TO_PEAK -> "peak-to-peak";
      case SURFACE_RMS -> "surface RMS";
      case VOLUME_RMS -> "volume RMS";
      case DRIFT -> "drift";
    };
  }

  private static String volume(Volume v) {
    if (v instanceof Volume.Sphere s) {
      return "the %s mm sphere".formatted(trim(2e3 * s.radius()));
    }
    if (v instanceof Volume.Ellipsoid e) {
      return "the %s × %s × %s mm ellipsoid"
          .formatted(trim(2e3 * e.semiX()), trim(2e3 * e.semiY()), trim(2e3 * e.semiZ()));
    }
    Volume.Cylinder c = (Volume.Cylinder) v;
    return "the cylinder of %s mm diameter, %s mm long"
        .formatted(trim(2e3 * c.radius()), trim(2e3 * c.halfLength()));
  }

  private static void field(Assessment a, List<String> lines) {
    FieldModel m = a.model();
    double gamma = a.magnet().array().gammaMHzPerT();
    lines.add(
        String.format(
            Locale.ROOT,
            "Centre    %.8f T = %.6f MHz ± %s ppm (%s, %.8f MHz/T)",
            m.centreField(),
            m.centreField() * gamma,
            significant(m.standardUncertainty(Term.at(0))),
            a.magnet().array().gammaSource(),
            gamma));
    lines.add(
        String.format(
            Locale.ROOT,
            "Model     degree %d at R0 = %s mm: %s; residual %s ppm, condition %.2f",
            m.ppm().degree(),
            trim(1e3 * m.ppm().referenceRadius()),
            m.degreeReason(),
            significant(m.residualRmsPpm()),
            m.condition()));
    degrees(a.fitted(), lines);
    lines.add("Largest terms (Schmidt, ppm at R0)");
    java.util.stream.IntStream.range(1, Term.count(m.ppm().degree()))
        .mapToObj(Term::at)
        .filter(t -> !m.unseen().contains(t))
        .sorted(Comparator.comparingDouble(t -> -Math.abs(m.ppm().coefficient(t))))
        .limit(LARGEST_TERMS)
        .forEach(
            t ->
                lines.add(
                    "  %-10s %s"
                        .formatted(
                            t.tradeName(),
                            withUncertainty(m.ppm().coefficient(t), m.standardUncertainty(t)))));
  }

  /** The leave-one-out errors of the degrees about the one chosen. */
  private static void degrees(FittedSurvey fitted, List<String> lines) {
    int chosen = fitted.model().ppm().degree();
    List<String> near =
        fitted.degreesTried().stream()
            .filter(t -> Math.abs(t.degree() - chosen) <= NEAR_DEGREES)
            .map(t -> "%d: %s".formatted(t.degree(), significant(t.leaveOneOutPpm())))
            .toList();
    if (!near.isEmpty()) {
      lines.add("          leave-one-out error by degree, ppm: " + String.join(", ", near));
    }
  }

  private static void placement(Assessment a, List<String> lines) {
    if (a.centre() != null) {
      lines.add(
          "Magnetic centre (X, Y and Z vanish) at %s mm"
              .formatted(vector(a.centre().at(), a.centre().uncertainty())));
    }
    if (!a.placement().isEmpty()) {
      ArrayPlacement p = a.placement().get(0);
      lines.add(
          "Array     %s; since the earlier survey moved by %s mm, turned by %s mrad"
              .formatted(
                  p.handling().words(),
                  vector(p.shift(), p.shiftUncertainty()),
                  vector(p.turn(), p.turnUncertainty())));
      List<ArrayPlacement.Handling> open = ArrayPlacement.notToldApart(a.placement());
      if (!open.isEmpty()) {
        lines.add(
            "          the field is too symmetric to tell that from: "
                + String.join("; ", open.stream().map(ArrayPlacement.Handling::words).toList()));
      }
    }
  }

  /** Three values in thousandths with their uncertainties. */
  private static String vector(Vec3 v, Vec3 u) {
    return "(%s, %s, %s)"
        .formatted(
            withUncertainty(1e3 * v.x(), 1e3 * u.x()),
            withUncertainty(1e3 * v.y(), 1e3 * u.y()),
            withUncertainty(1e3 * v.z(), 1e3 * u.z()));
  }

  private static void readings(VettedSurvey v, List<String> lines) {
    lines.add(
        "Readings  %d: %d used, %d revisits, %d set aside"
            .formatted(
                v.survey().readings().size(),
                v.used().size(),
                v.revisits().size(),
                v.setAside().size()));
    for (VettedSurvey.SetAside s : v.setAside()) {
      String off = s.ppm() == null ? "" : String.format(Locale.ROOT, "  %+.3f ppm", s.ppm());
      lines.add(
          "  row %d%s: %s%s"
              .formatted(
                  s.reading().row(), place(s.reading()), s.why().id().replace('_', ' '), off));
    }
    for (VettedSurvey.SuspectProbe p : v.suspectProbes()) {
      lines.add(
          "  probe %d reads off by %s ppm as a whole; its offset was freed in the fit"
              .formatted(p.probe(), withUncertainty(p.offsetPpm(), p.uncertaintyPpm())));
    }
    for (VettedSurvey.SuspectAngle s : v.suspectAngles()) {
      lines.add(
          "  at %s° the array stood %s° further than stated; freed in the fit"
              .formatted(trim(s.angleDeg()), withUncertainty(s.errorDeg(), s.uncertaintyDeg())));
    }
    for (VettedSurvey.Freed f : v.freed()) {
      lines.add(
          "  carried beside the field as asked: %s"
              .formatted(freed(f, withUncertainty(f.value(), f.uncertainty()))));
    }
    VettedSurvey.Drift d = v.drift();
    if (d != null && d.ppmPerHour() != null) {
      String rate =
          d.uncertaintyPpmPerHour() == null
              ? significant(d.ppmPerHour())
              : withUncertainty(d.ppmPerHour(), d.uncertaintyPpmPerHour());
      String from =
          d.pairs() == 1
              ? "one revisit"
              : "%d revisits, whose own changes differ by %s ppm"
                  .formatted(d.pairs(), significant(d.spreadPpm()));
      lines.add("Drift     %s ppm/h, removed; from %s".formatted(rate, from));
    }
  }

  private static String freed(VettedSurvey.Freed f, String value) {
    if (f instanceof VettedSurvey.Freed.Offset o) {
      return "probe %d reads off by %s ppm".formatted(o.probe(), value);
    }
    return f instanceof VettedSurvey.Freed.Angle a
        ? "at %s° the array stood %s° further than stated".formatted(trim(a.angleDeg()), value)
        : "a drift of %s ppm/h beyond what revisits show".formatted(value);
  }

  private static String place(Reading r) {
    return r.probe() == null || r.angleDeg() == null
        ? ""
        : ", probe %d at %s°".formatted(r.probe(), trim(r.angleDeg()));
  }

  /** The value to the second significant digit of its uncertainty. */
  static String withUncertainty(double value, double u) {
    if (!(u > 0)) {
      return trim(value);
    }
    int decimals = Math.max(0, Math.min(9, 1 - (int) Math.floor(Math.log10(u))));
    return String.format(Locale.ROOT, "%." + decimals + "f ± %." + decimals + "f", value, u);
  }

  private static String significant(double value) {
    return String.format(Locale.ROOT, "%.2g", value);
  }

  private static String trim(double value) {
    String text = String.format(Locale.ROOT, "%.4f", value);
    return text.contains(".") ? text.replaceAll("0+$", "").replaceAll("\\.$", "") : text;
  }
}
