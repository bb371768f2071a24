package org.fieldwright.adapters.report;

import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.fieldwright.adapters.report.Page.Column;
import org.fieldwright.adapters.report.Page.Fact;
import org.fieldwright.adapters.report.Page.Figure;
import org.fieldwright.adapters.report.chart.BandChart;
import org.fieldwright.adapters.report.chart.DeviationChart;
import org.fieldwright.adapters.report.chart.LogChart;
import org.fieldwright.adapters.report.chart.Markup;
import org.fieldwright.adapters.report.chart.Quantity;
import org.fieldwright.core.homogeneity.LimitResult.Verdict;
import org.fieldwright.core.stability.DeviationKind;
import org.fieldwright.core.stability.DeviationTable;
import org.fieldwright.core.stability.DriftVerdict;
import org.fieldwright.core.stability.Estimate;
import org.fieldwright.core.stability.LogEvent;
import org.fieldwright.core.stability.Ramp;
import org.fieldwright.core.stability.StabilityReport;
import org.fieldwright.core.stability.Surroundings;
import org.jspecify.annotations.Nullable;

/** What a field log shows of the field's run with time. */
final class StabilitySection {
  private static final double HOUR = 3600;

  /** Beyond this many events, the list stops and says how many follow. */
  private static final int MOST_EVENTS = 60;

  private final VisitReport.Log log;
  private final StabilityReport report;
  private final ZoneId zone;
  private final String id;

  /**
   * @param id distinguishes the logs of a report
   */
  StabilitySection(VisitReport.Log log, ZoneId zone, String id) {
    this.log = log;
    this.report = log.report();
    this.zone = zone;
    this.id = id;
  }

  /** One line for the summary. */
  static String inShort(VisitReport.Log log) {
    Estimate drift = log.report().drift();
    return "%s, %s h; %s; %s"
        .formatted(
            log.file(),
            Wording.trimmed(log.duration() / HOUR, 1),
            drift == null ? "too short to tell a drift" : "drift " + estimate(drift) + " ppm/h",
            Quantity.counted(log.report().events().size(), "event"));
  }

  void write(Page page) {
    page.heading(1, id, "Stability: " + log.file());
    page.lead(lead());
    page.figure(chart(), caption());
    page.facts(facts());
    page.warnings(report.warnings());
    figures(page);
    events(page);
    deviations(page);
  }

  private String lead() {
    if (report.limits().isEmpty()) {
      Estimate drift = report.drift();
      return drift == null
          ? "The log is too short to tell a drift."
          : "The field drifts by %s ppm/h at the end of the log; no limit on drift is stated."
              .formatted(estimate(drift));
    }
    List<String> sentences = new ArrayList<>();
    report.limits().forEach(v -> sentences.add(verdict(v)));
    return String.join(" ", sentences);
  }

  private String verdict(DriftVerdict v) {
    if (v.valuePpmPerHour() == null) {
      return "Limit “%s”: the log does not tell a drift.".formatted(v.limit().id());
    }
    String word =
        switch (v.verdict()) {
          case MET -> "is met";
          case NOT_MET -> "is not met";
          case UNDECIDED -> "is undecided";
          case NOT_ASSESSED -> "is not judged";
        };
    return "Limit “%s” %s: a drift of %s ppm/h where %s ppm/h is allowed%s."
        .formatted(
            v.limit().id(),
            word,
            Quantity.withUncertainty(
                v.valuePpmPerHour(), Wording.expanded(v.uncertaintyPpmPerHour())),
            Wording.trimmed(v.limit().limit(), 4),
            since(v));
  }

  private String since(DriftVerdict v) {
    Double from = v.inLimitFrom();
    if (from == null) {
      return v.verdict() == Verdict.MET ? "" : "; no time from which it holds is in sight";
    }
    if (from == 0) {
      return "";
    }
    String word = from > log.duration() ? "; by the forecast in limit from " : "; in limit since ";
    return word + Wording.time(log.at(from), zone);
  }

  private Markup chart() {
    return LogChart.draw(
        "The field against time over " + Wording.trimmed(log.duration() / HOUR, 1) + " hours",
        log.trace().stretches().stream()
            .map(s -> new LogChart.Stretch(s.time() / HOUR, s.lowPpm(), s.highPpm()))
            .toList(),
        report.events().stream()
            .map(e -> new LogChart.Mark(e.start() / HOUR, e.end() / HOUR))
            .toList());
  }

  private String caption() {
    return "Least and greatest value of each of %d stretches, ppm of %s T. Grey with ▽: events."
        .formatted(log.trace().stretches().size(), Quantity.decimals(report.referenceField(), 8));
  }

  private List<Fact> facts() {
    List<Fact> facts = new ArrayList<>();
    facts.add(
        new Fact(
            "log",
            "%s to %s; %d samples, %d used, one every %s s"
                .formatted(
                    Wording.time(log.start(), zone),
                    Wording.time(log.end(), zone),
                    log.samples(),
                    report.used(),
                    Quantity.significant(report.interval(), 3))));
    add(facts, "drift at the end", report.drift(), " ppm/h");
    add(facts, "slope of the whole", report.slope(), " ppm/h, of a straight line");
    add(facts, "slope as measured", report.slopeAsMeasured(), " ppm/h, surroundings included");
    if (report.trend() != null) {
      facts.add(
          new Fact(
              "form of the trend",
              report.trend().kind().id().replace('_', ' ')
                  + ", by evidence (BIC) among "
                  + report.alternatives().size()));
    }
    for (Surroundings s : report.surroundings()) {
      boolean warm = s.quantity() == Surroundings.Quantity.TEMPERATURE;
      facts.add(
          new Fact(
              warm ? "follows temperature" : "follows air pressure",
              "%s ppm per %s, %s s later"
                  .formatted(estimate(s.perUnit()), warm ? "K" : "hPa", estimate(s.delay()))));
    }
    Ramp ramp = report.ramp();
    if (ramp != null) {
      facts.add(
          new Fact(
              "ramp",
              "%s T/A; %s T/h at its end; %s"
                  .formatted(
                      estimate(ramp.fieldPerAmpere()),
                      estimate(ramp.rate()),
                      ramp.settled() ? "settled" : "still running")));
    }
    return facts;
  }

  private static void add(List<Fact> facts, String name, @Nullable Estimate e, String unit) {
    if (e != null) {
      facts.add(new Fact(name, estimate(e) + unit));
    }
  }

  /** With the expanded uncertainty, as everywhere in the report. */
  private static String estimate(@Nullable Estimate e) {
    return e == null
        ? "unknown"
        : Quantity.withUncertainty(e.value(), Wording.expanded(e.uncertainty()));
  }

  private void figures(Page page) {
    List<Figure> figures = new ArrayList<>();
    DeviationTable table = report.deviations();
    List<DeviationTable.Row> allan =
        table == null
            ? List.of()
            : table.of(DeviationKind.OVERLAPPING_ALLAN).stream()
                .filter(r -> r.value() > 0 && r.low() > 0)
                .toList();
    if (!allan.isEmpty()) {
      figures.add(
          new Figure(
              DeviationChart.draw(
                  "Overlapping Allan deviation against averaging time",
                  allan.stream()
                      .map(r -> new DeviationChart.Point(r.tau(), r.value(), r.low(), r.high()))
                      .toList()),
              "Overlapping Allan deviation with 68 % intervals (NIST SP 1065)."));
    }
    if (report.forecast().size() > 1) {
      figures.add(
          new Figure(
              BandChart.draw(
                  "Forecast of the field with its band",
                  "hours after the log",
                  "field, ppm",
                  report.forecast().stream()
                      .map(
                          p ->
                              new BandChart.Point(
                                  (p.time() - log.duration()) / HOUR,
                                  p.fieldPpm().value(),
                                  Wording.expanded(p.fieldPpm().uncertainty())))
                      .toList()),
              "Forecast from the trend and the field's own wander; band: U = 2u."));
    }
    if (figures.size() == 2) {
      page.figures(figures.get(0), figures.get(1));
    } else if (!figures.isEmpty()) {
      page.figure(figures.get(0).chart(), figures.get(0).caption());
    }
    forecast(page);
  }

  private void forecast(Page page) {
    List<List<String>> rows = new ArrayList<>();
    for (StabilityReport.ForecastPoint p : report.forecast()) {
      rows.add(
          List.of(
              Wording.time(log.at(p.time()), zone),
              Wording.trimmed((p.time() - log.duration()) / HOUR, 1),
              estimate(p.fieldPpm()),
              estimate(p.ratePpmPerHour())));
    }
    if (!rows.isEmpty()) {
      page.heading(2, "forecast-" + id, "Forecast");
      page.table(
          List.of(
              Column.text("at"),
              Column.number("hours after the log"),
              Column.number("field, ppm, ± U"),
              Column.number("drift, ppm/h, ± U")),
          rows);
    }
  }

  private void events(Page page) {
    page.heading(2, "events-" + id, "Events");
    if (report.events().isEmpty()) {
      page.paragraph("None were found: no gap, no lost lock, no excursion and no step.");
      return;
    }
    Map<String, Integer> counts = new TreeMap<>();
    report.events().forEach(e -> counts.merge(words(e), 1, Integer::sum));
    List<String> parts = new ArrayList<>();
    counts.forEach((kind, count) -> parts.add(count + " × " + kind));
    page.paragraph(String.join(", ", parts) + ". The names say likeness, not cause.");
    List<List<String>> rows = new ArrayList<>();
    for (LogEvent e : report.events().subList(0, Math.min(MOST_EVENTS, report.events().size()))) {
      rows.add(
          List.of(
              Wording.time(log.at(e.start()), zone),
              words(e),
              Quantity.significant(e.duration(), 3),
              e.sizePpm() == 0 ? "–" : Quantity.significant(e.sizePpm(), 3)));
    }
    page.table(
        List.of(
            Column.text("from"),
            Column.text("looks like"),
            Column.number("lasts, s"),
            Column.number("size, ppm")),
        rows,
        "dense");
    if (report.events().size() > MOST_EVENTS) {
      page.note("%d more are not listed here.".formatted(report.events().size() - MOST_EVENTS));
    }
  }

  private static String words(LogEvent e) {
    return e.kind().id().replace('_', ' ');
  }

  private void deviations(Page page) {
    DeviationTable table = report.deviations();
    if (table == null) {
      return;
    }
    List<List<String>> rows = new ArrayList<>();
    for (DeviationTable.Row r : table.of(DeviationKind.OVERLAPPING_ALLAN)) {
      rows.add(
          List.of(
              Quantity.significant(r.tau(), 4),
              Quantity.significant(r.value(), 3),
              Quantity.significant(r.low(), 3),
              Quantity.significant(r.high(), 3),
              r.noise().id().replace('_', ' ')));
    }
    page.heading(2, "deviations-" + id, "Overlapping Allan deviation");
    page.table(
        List.of(
            Column.number("averaging time, s"),
            Column.number("deviation, ppm"),
            Column.number("68 % from"),
            Column.number("to"),
            Column.text("noise")),
        rows,
        "dense");
  }
}
