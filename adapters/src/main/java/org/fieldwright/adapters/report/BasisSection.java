package org.fieldwright.adapters.report;

import java.util.ArrayList;
import java.util.List;
import org.fieldwright.adapters.report.Page.Fact;
import org.fieldwright.adapters.report.VisitReport.InputFile;
import org.fieldwright.adapters.report.VisitReport.Option;
import org.fieldwright.adapters.report.chart.Markup;
import org.fieldwright.adapters.report.chart.Quantity;
import org.fieldwright.core.correction.IronSystem;
import org.fieldwright.core.correction.Plan;
import org.fieldwright.core.magnet.Magnet;

/** How the numbers were made, and from what. */
final class BasisSection {
  private final VisitReport report;

  BasisSection(VisitReport report) {
    this.report = report;
  }

  void write(Page page) {
    page.heading(1, "basis", "How the numbers were made");
    page.facts(method());
    inputs(page);
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
                    Quantity.decimals(magnet.array().gammaMHzPerT(), 8),
                    magnet.array().gammaSource())));
    facts.add(
        new Fact(
            "field model",
            "Weighted least squares of Schmidt semi-normalised solid harmonics, no Condon–Shortley"
                + " phase, R0 = %s mm; covariance from the stated uncertainties."
                    .formatted(Wording.mm(report.found().model().ppm().referenceRadius()))));
    facts.add(
        new Fact(
            "homogeneity",
            "Peak-to-peak: the extremes of the fitted field on the volume's surface, where a"
                + " source-free field has them. RMS: about the mean, the noise's share removed."));
    Plan plan = report.plan();
    if (plan != null) {
      facts.add(
          new Fact(
              "plan",
              "Predicted values are computed forward from the whole-piece loading by the same code"
                  + " as the verdicts."));
      if (plan.iterations() > 0) {
        facts.add(
            new Fact("search", "seed %d, %d iterations".formatted(plan.seed(), plan.iterations())));
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

  private void inputs(Page page) {
    page.heading(2, "inputs", "Input files");
    Markup out = page.markup();
    out.open("table", "class", "grid inputs").open("thead").open("tr");
    for (String head : List.of("what", "file", "SHA-256")) {
      out.element("th", head, "class", "txt", "scope", "col");
    }
    out.close().close().open("tbody");
    for (InputFile file : report.provenance().inputs()) {
      out.open("tr");
      out.element("td", file.role(), "class", "txt");
      out.element("td", file.name(), "class", "txt name");
      out.element("td", file.sha256(), "class", "txt mono");
      out.close();
    }
    out.close().close();
  }
}
