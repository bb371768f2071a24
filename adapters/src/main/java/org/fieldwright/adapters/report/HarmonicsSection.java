package org.fieldwright.adapters.report;

import java.util.ArrayList;
import java.util.List;
import java.util.stream.IntStream;
import org.fieldwright.adapters.report.Page.Column;
import org.fieldwright.adapters.report.Page.Figure;
import org.fieldwright.adapters.report.chart.CurveChart;
import org.fieldwright.adapters.report.chart.CurveChart.Curve;
import org.fieldwright.adapters.report.chart.CurveChart.Line;
import org.fieldwright.adapters.report.chart.CurveChart.Point;
import org.fieldwright.adapters.report.chart.HarmonicBars;
import org.fieldwright.adapters.report.chart.HarmonicBars.Bar;
import org.fieldwright.adapters.report.chart.Markup;
import org.fieldwright.adapters.text.Numerals;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.harmonic.Term;
import org.jspecify.annotations.Nullable;

/** The coefficients of the field, as bars, as a spectrum and as a table. */
final class HarmonicsSection {
  private static final int HIGHEST_BAR_DEGREE = 6;
  private static final int TERMS_A_ROW = 3;

  private final Wording words;
  private final Numerals numerals;
  private final FieldModel model;
  private final GrowthWithSize growth;
  private final double radius;
  private final @Nullable FieldState after;
  private final @Nullable Expansion afterPpm;

  HarmonicsSection(VisitReport report) {
    words = report.words();
    numerals = report.numerals();
    growth = new GrowthWithSize(report);
    model = report.found().model();
    radius = model.ppm().referenceRadius();
    List<FieldState> states = FieldState.of(report);
    after = states.size() > 1 ? states.get(states.size() - 1) : null;
    afterPpm = after == null ? null : after.ppm().withReferenceRadius(radius);
  }

  void write(Page page) {
    page.heading(1, "harmonics", "Harmonics");
    page.lead(
        "Coefficients in ppm of the centre field at the reference radius R0 = %s mm, Schmidt semi-normalised, without the Condon–Shortley phase."
            .formatted(words.mm(radius)));
    page.figure(bars(), barsCaption());
    page.figures(
        new Figure(spectrum(), spectrumCaption()), new Figure(growth.draw(), growth.caption()));
    table(page);
  }

  private Markup bars() {
    int degree = Math.min(HIGHEST_BAR_DEGREE, model.ppm().degree());
    List<Bar> bars = new ArrayList<>();
    for (int i = 1; i < Term.count(degree); i++) {
      Term term = Term.at(i);
      if (!model.unseen().contains(term)) {
        bars.add(
            new Bar(
                term.tradeName(),
                term.n(),
                model.ppm().coefficient(i),
                Wording.COVERAGE * model.standardUncertainty(term),
                afterPpm == null ? null : afterPpm.coefficient(i)));
      }
    }
    return HarmonicBars.draw(
        numerals,
        "Bars of the harmonic coefficients up to degree " + degree,
        bars,
        after == null ? null : after.name());
  }

  private String barsCaption() {
    return "Terms up to degree %d. Error bars: U = 2u."
        .formatted(Math.min(HIGHEST_BAR_DEGREE, model.ppm().degree()));
  }

  private Markup spectrum() {
    List<Curve> curves = new ArrayList<>();
    curves.add(new Curve("as found", Line.BEFORE, byDegree(model.ppm(), model.ppm().degree())));
    if (after != null && afterPpm != null) {
      curves.add(new Curve(after.name(), Line.AFTER, byDegree(afterPpm, model.ppm().degree())));
    }
    curves.add(new Curve("uncertainty u of the survey", Line.NOISE, noiseByDegree()));
    int degree = model.ppm().degree();
    int every = degree > 14 ? 2 : 1;
    List<Integer> marks =
        IntStream.rangeClosed(1, degree).filter(n -> n % every == 0).boxed().toList();
    return CurveChart.draw(
        numerals,
        "RMS over the sphere of each degree",
        "degree n",
        "RMS at R0, ppm",
        marks,
        curves);
  }

  private static String spectrumCaption() {
    return "What each degree contributes to the RMS over the sphere of radius R0,"
        + " √(Σ c²/(2n + 1)), against the same sum of the survey's standard uncertainties.";
  }

  /** Root mean square over the sphere of radius R0 of each degree's terms, ppm. */
  static List<Point> byDegree(Expansion ppm, int degree) {
    List<Point> points = new ArrayList<>();
    for (int n = 1; n <= degree; n++) {
      double sum = 0;
      for (int i = n * n; i < (n + 1) * (n + 1); i++) {
        sum += ppm.coefficient(i) * ppm.coefficient(i);
      }
      points.add(new Point(n, Math.sqrt(sum / (2 * n + 1))));
    }
    return points;
  }

  private List<Point> noiseByDegree() {
    List<Point> points = new ArrayList<>();
    for (int n = 1; n <= model.ppm().degree(); n++) {
      double sum = 0;
      for (int i = n * n; i < (n + 1) * (n + 1); i++) {
        sum += model.covariance().at(i, i);
      }
      points.add(new Point(n, Math.sqrt(sum / (2 * n + 1))));
    }
    return points;
  }

  private void table(Page page) {
    page.heading(2, "coefficients", "Every coefficient");
    List<Column> columns = new ArrayList<>();
    for (int k = 0; k < TERMS_A_ROW; k++) {
      columns.add(Column.text("term"));
      columns.add(Column.number("ppm, ± U"));
      if (after != null) {
        columns.add(Column.number("after"));
      }
    }
    int terms = Term.count(model.ppm().degree());
    List<List<String>> rows = new ArrayList<>();
    List<String> row = new ArrayList<>();
    for (int i = 1; i < terms; i++) {
      addTerm(row, Term.at(i));
      if (row.size() == columns.size() || i == terms - 1) {
        while (row.size() < columns.size()) {
          row.add("");
        }
        rows.add(List.copyOf(row));
        row.clear();
      }
    }
    page.note(tableNote());
    page.table(columns, rows, "dense");
  }

  private void addTerm(List<String> row, Term term) {
    boolean seen = !model.unseen().contains(term);
    double expanded = Wording.COVERAGE * model.standardUncertainty(term);
    String place = term.n() + "," + term.m() + " " + term.part().id();
    String name = term.tradeName();
    row.add(name.equals(place) ? name : name + "  " + place);
    row.add(seen ? numerals.withUncertainty(model.ppm().coefficient(term), expanded) : "not seen");
    if (afterPpm != null) {
      row.add(numerals.value(afterPpm.coefficient(term), expanded));
    }
  }

  private String tableNote() {
    List<String> sentences = new ArrayList<>();
    sentences.add("Terms are named n,m and phase, with their trade names up to degree 3. U = 2u.");
    if (after != null) {
      sentences.add("Column “after”: the field %s, same R0.".formatted(after.name()));
    }
    if (!model.unseen().isEmpty()) {
      sentences.add("“Not seen”: the sampling does not determine this term.");
    }
    return String.join(" ", sentences);
  }
}
