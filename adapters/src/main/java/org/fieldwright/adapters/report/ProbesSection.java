package org.fieldwright.adapters.report;

import java.util.ArrayList;
import java.util.List;
import org.fieldwright.adapters.report.Page.Column;
import org.fieldwright.adapters.text.Numerals;
import org.fieldwright.core.stability.DriftVerdict;
import org.fieldwright.core.stability.Estimate;

/** A field log that several probes took in turn: what each of them says, at a glance. */
final class ProbesSection {
  private final Wording words;
  private final Numerals numerals;
  private final List<VisitReport.Log> probes;

  /**
   * @param probes of one file
   */
  ProbesSection(VisitReport whole, List<VisitReport.Log> probes) {
    this.words = whole.words();
    this.numerals = whole.numerals();
    this.probes = probes;
  }

  static String id(List<VisitReport.Log> probes) {
    return "probes-" + probes.get(0).number();
  }

  static String title(List<VisitReport.Log> probes) {
    return "Stability: %s, probe by probe".formatted(probes.get(0).file());
  }

  void write(Page page) {
    page.heading(1, id(probes), title(probes));
    page.paragraph(
        "Several probes read in turn in this log. Each is judged by itself; a limit on drift is met only where no probe speaks against it.");
    List<Column> columns =
        new ArrayList<>(
            List.of(
                Column.number("probe"),
                Column.number("samples"),
                Column.number("used"),
                Column.number("drift, ppm/h, ± U")));
    probes.get(0).report().limits().forEach(v -> columns.add(Column.text(v.limit().id())));
    page.table(columns, probes.stream().map(this::row).toList());
  }

  private List<String> row(VisitReport.Log log) {
    Estimate drift = log.report().drift();
    List<String> row = new ArrayList<>();
    row.add(String.valueOf(log.probe()));
    row.add(numerals.sentence("%,d", log.samples()));
    row.add(numerals.sentence("%,d", log.report().used()));
    row.add(drift == null ? "–" : words.estimate(drift));
    for (DriftVerdict v : log.report().limits()) {
      row.add(Wording.verdict(v.verdict()));
    }
    return row;
  }
}
