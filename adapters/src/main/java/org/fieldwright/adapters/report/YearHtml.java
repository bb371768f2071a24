package org.fieldwright.adapters.report;

import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import org.fieldwright.adapters.report.Frame.Bookmark;
import org.fieldwright.adapters.report.Page.Column;
import org.fieldwright.adapters.report.Page.Fact;
import org.fieldwright.adapters.report.Page.Figure;
import org.fieldwright.adapters.report.chart.BandChart;
import org.fieldwright.adapters.report.chart.CurveChart;
import org.fieldwright.adapters.report.chart.CurveChart.Curve;
import org.fieldwright.adapters.report.chart.CurveChart.Line;
import org.fieldwright.adapters.report.chart.Markup;
import org.fieldwright.adapters.text.Numerals;
import org.fieldwright.core.history.Year;
import org.fieldwright.core.homogeneity.Limit;
import org.fieldwright.core.homogeneity.LimitResult;
import org.fieldwright.core.magnet.Magnet;
import org.jspecify.annotations.Nullable;

/** A magnet's yearly summary as one XHTML document. */
final class YearHtml {
  private static final List<Line> LINES =
      List.of(Line.BEFORE, Line.AFTER, Line.BEFORE_SECOND, Line.AFTER_SECOND);
  private static final double PPM = 1e6;

  private final YearReport report;
  private final String number;
  private final Numerals numerals;
  private final Wording words;
  private final List<Limit> limits;
  private final Markup out = new Markup();

  /**
   * @param number what identifies the summary, printed on every page
   */
  YearHtml(YearReport report, String number) {
    this.report = report;
    this.number = number;
    this.numerals = report.provenance().numerals();
    this.words = new Wording(numerals);
    this.limits = report.magnet().limits().stream().filter(l -> l.volume() != null).toList();
  }

  String write() {
    Frame frame = new Frame(out);
    String name = report.magnet().name();
    frame.open(
        "Yearly summary, %s".formatted(name),
        "Homogeneity of %s over the years".formatted(name),
        "Yearly summary %s".formatted(number),
        List.of(
            new Bookmark("Homogeneity", "homogeneity"),
            new Bookmark("Centre field, drift and iron", "field"),
            new Bookmark("What happened", "happened"),
            new Bookmark("Input files", "inputs"),
            new Bookmark("Signatures", "signatures")));
    frame.foot("%s  ·  yearly summary %s".formatted(name, number));
    title(frame);
    Page page = new Page(out, numerals);
    homogeneity(page);
    field(page);
    charts(page);
    happened(page);
    page.warnings(report.warnings());
    page.heading(2, "inputs", "Input files");
    frame.inputs(report.provenance().inputs());
    out.open("div", "class", "whole");
    page.heading(2, "signatures", "Signatures");
    frame.signatures(List.of("drawn up by", "seen by"));
    out.close();
    frame.close();
    return out.toString();
  }

  private void title(Frame frame) {
    Magnet magnet = report.magnet();
    frame.title(
        "Yearly summary",
        magnet.name(),
        List.of(
            List.of(
                new Fact("serial", Frame.stated(magnet.serial())),
                new Fact(
                    "nominal field", "%s T".formatted(numerals.trimmed(magnet.nominalField(), 6))),
                new Fact("years", span()),
                new Fact("summary", number))),
        report.provenance());
  }

  private String span() {
    List<Year> years = report.years();
    if (years.isEmpty()) {
      return "none";
    }
    int first = years.get(0).year();
    int last = years.get(years.size() - 1).year();
    return first == last ? Integer.toString(first) : "%d to %d".formatted(first, last);
  }

  private void homogeneity(Page page) {
    page.heading(2, "homogeneity", "Homogeneity");
    List<Column> columns = new ArrayList<>();
    columns.add(Column.text("year"));
    columns.add(Column.number("visits"));
    columns.add(Column.number("surveys"));
    for (Limit limit : limits) {
      columns.add(
          Column.number("%s, ≤ %s ppm".formatted(limit.id(), numerals.trimmed(limit.limit(), 4))));
    }
    List<List<String>> rows = new ArrayList<>();
    for (Year y : report.years()) {
      List<String> row = new ArrayList<>();
      row.add(Integer.toString(y.year()));
      row.add(numerals.count(y.visits()));
      row.add(numerals.count(y.surveys()));
      limits.forEach(limit -> row.add(cell(of(y, limit))));
      rows.add(row);
    }
    page.table(columns, rows);
    page.note(
        "The last survey of the year, ± U = 2u, ppm, with its verdict; in brackets the best of the"
            + " year.");
  }

  private static Year.@Nullable OfLimit of(Year y, Limit limit) {
    return y.limits().stream()
        .filter(l -> l.last().limit().id().equals(limit.id()))
        .findFirst()
        .orElse(null);
  }

  private String cell(Year.@Nullable OfLimit of) {
    if (of == null) {
      return "–";
    }
    LimitResult last = of.last();
    return "%s (%s) %s"
        .formatted(
            words.result(last),
            numerals.value(of.leastPpm(), Wording.expanded(last.uncertaintyPpm())),
            Wording.verdict(last.verdict()));
  }

  private void field(Page page) {
    page.heading(2, "field", "Centre field, drift and iron");
    List<List<String>> rows = new ArrayList<>();
    for (Year y : report.years()) {
      rows.add(
          List.of(
              Integer.toString(y.year()),
              y.fieldT() == null ? "–" : numerals.decimals(y.fieldT(), 8),
              y.frequencyMHz() == null ? "–" : numerals.decimals(y.frequencyMHz(), 6),
              y.drift() == null ? "–" : words.estimate(y.drift().ppmPerHour()),
              numerals.count(y.piecesIn()),
              numerals.decimals(y.ironInG(), 0),
              numerals.count(y.piecesOut()),
              numerals.decimals(y.ironOutG(), 0)));
    }
    page.table(
        List.of(
            Column.text("year"),
            Column.number("centre field, T"),
            Column.number("frequency, MHz"),
            Column.number("drift, ppm/h, ± U"),
            Column.number("pieces in"),
            Column.number("g"),
            Column.number("pieces out"),
            Column.number("g")),
        rows);
    page.note(
        "Field and frequency of the year's last survey, drift of its last log, iron of its recorded"
            + " rounds.");
    if (!report.run().isEmpty()) {
      page.list(report.run());
    }
  }

  /** Two charts, where there are years enough to draw a line between. */
  private void charts(Page page) {
    List<Year> fields = report.years().stream().filter(y -> y.fieldT() != null).toList();
    if (fields.size() < 2 || limits.isEmpty()) {
      return;
    }
    int first = fields.get(0).year();
    int span = fields.get(fields.size() - 1).year() - first;
    String axis = "years since %d".formatted(first);
    page.figures(
        new Figure(
            CurveChart.draw(
                numerals,
                "Homogeneity by year",
                axis,
                "ppm",
                CurveChart.roundMarks(0, span, Math.min(6, span)),
                curves(fields, first)),
            "The last survey of each year."),
        new Figure(
            BandChart.draw(
                numerals,
                "Centre field by year",
                axis,
                "centre field, ppm of the first year's",
                run(fields, first)),
            "The centre field at the last survey of each year."));
  }

  private List<Curve> curves(List<Year> years, int first) {
    List<Curve> curves = new ArrayList<>();
    for (Limit limit : limits.subList(0, Math.min(LINES.size(), limits.size()))) {
      List<CurveChart.Point> points = new ArrayList<>();
      for (Year y : years) {
        Year.OfLimit of = of(y, limit);
        if (of != null && of.last().valuePpm() != null) {
          points.add(new CurveChart.Point(y.year() - first, of.last().valuePpm()));
        }
      }
      if (!points.isEmpty()) {
        curves.add(new Curve(limit.id(), LINES.get(curves.size()), points));
      }
    }
    return curves;
  }

  private static List<BandChart.Point> run(List<Year> years, int first) {
    double reference = Objects.requireNonNull(years.get(0).fieldT());
    return years.stream()
        .map(
            y ->
                new BandChart.Point(
                    y.year() - first,
                    PPM * (Objects.requireNonNull(y.fieldT()) / reference - 1),
                    0))
        .toList();
  }

  private void happened(Page page) {
    page.heading(2, "happened", "What happened");
    if (report.happened().isEmpty()) {
      page.paragraph("Nothing was written down, and no change was found.");
      return;
    }
    page.table(
        List.of(Column.text("year"), Column.text("what")),
        report.happened().stream()
            .map(h -> List.of(Integer.toString(h.year()), numerals.prose(h.what())))
            .toList());
  }
}
