package org.fieldwright.adapters.report;

import java.util.ArrayList;
import java.util.List;
import org.fieldwright.adapters.report.Page.Fact;
import org.fieldwright.adapters.report.VisitReport.Option;
import org.fieldwright.adapters.text.Numerals;
import org.fieldwright.core.correction.IronSystem;
import org.fieldwright.core.correction.Plan;
import org.fieldwright.core.homogeneity.GuardedAcceptance;
import org.fieldwright.core.magnet.Magnet;

/** How the numbers were made. */
final class MethodSection {
  private final VisitReport report;
  private final Wording words;
  private final Numerals numerals;

  MethodSection(VisitReport report) {
    this.report = report;
    this.words = report.words();
    this.numerals = report.numerals();
  }

  void write(Page page) {
    page.heading(1, "method", "Method");
    page.lead("How the numbers were made, so that anyone can make them again.");
    page.facts(method());
  }

  private List<Fact> method() {
    Magnet magnet = report.magnet();
    VisitReport.Provenance provenance = report.provenance();
    List<Fact> facts = new ArrayList<>();
    facts.add(
        new Fact(
            "frame",
            "Right-handed, origin at the nominal isocentre, z along the bore; polar angle θ from"
                + " +z, azimuth φ from +x towards +y."));
    IronSystem iron = magnet.iron();
    String end = iron == null ? null : iron.plusZEnd();
    if (end != null) {
      facts.add(new Fact("+z end of the bore", end));
    }
    facts.add(
        new Fact(
            "ppm",
            "(B − Bc)/Bc · 10⁶, with Bc the fitted field at the isocentre after drift correction;"
                + " a prediction refers to its own Bc."));
    facts.add(
        new Fact(
            "γ/2π",
            "%s MHz/T, %s"
                .formatted(
                    numerals.decimals(magnet.array().gammaMHzPerT(), 8),
                    magnet.array().gammaSource())));
    facts.add(
        new Fact(
            "field model",
            "Weighted least squares of Schmidt semi-normalised solid harmonics, no Condon–Shortley phase, R0 = %s mm; covariance from the stated uncertainties."
                .formatted(words.mm(report.found().model().ppm().referenceRadius()))));
    facts.add(
        new Fact(
            "homogeneity",
            "Peak-to-peak: the extremes of the fitted field on the volume's surface, where a"
                + " source-free field has them. RMS: about the mean, the noise's share removed."));
    facts.add(
        new Fact(
            "decision",
            "Guarded acceptance, k = %s; see “Uncertainty and decision”."
                .formatted(numerals.trimmed(GuardedAcceptance.DEFAULT_K, 4))));
    if (!report.logs().isEmpty()) {
      facts.add(
          new Fact(
              "stability",
              "Trend and drift by generalised least squares with white, flicker and random-walk"
                  + " noise told apart; the form of the trend by evidence; deviations of NIST SP 1065."));
    }
    Plan plan = report.lastPlan();
    if (plan != null) {
      facts.add(
          new Fact(
              "plan",
              "Predicted values are computed forward from the whole-piece loading by the same code"
                  + " as the verdicts."));
      if (plan.iterations() > 0) {
        facts.add(
            new Fact(
                "search",
                numerals.sentence("seed %d; iterations: %,d", plan.seed(), plan.iterations())));
      }
    }
    facts.add(new Fact("program", provenance.program()));
    facts.add(new Fact("options", options(provenance.options())));
    facts.add(new Fact("generated", Wording.time(provenance.generated(), provenance.zone())));
    return facts;
  }

  private static String options(List<Option> options) {
    if (options.isEmpty()) {
      return "none; all defaults";
    }
    List<String> parts = options.stream().map(o -> o.name() + " " + o.value()).toList();
    return String.join("   ", parts);
  }
}
