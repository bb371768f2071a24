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
import org.fieldwright.adapters.text.Numerals;
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
  private static final double LEAST_RATE = 1e-6; // ppm/h, 0.01 ppm in a year

  /** Beyond this many events, the list stops and says how many follow. */
  private static final int MOST_EVENTS = 60;

  private final Wording words;
  private final Numerals numerals;
  private final VisitReport.Log log;
  private final StabilityReport report;
  private final ZoneId zone;
  private final String id;

  StabilitySection(VisitReport whole, VisitReport.Log log) {
    this.words = whole.words();
    this.numerals = whole.numerals();
    this.log = log;
    this.report = log.report();
    this.zone = whole.provenance().zone();
    this.id = id(log);
  }

  /** Tells the logs of a report apart. */
  static String id(VisitReport.Log log) {
    String file = "stability-" + log.number();
    return log.probe() == null ? file : file + "-" + log.probe();
  }

  void write(Page page) {
    page.heading(1, id, title(log));
    page.lead(lead());
    page.figure(chart(), caption());
    page.facts(facts());
    page.warnings(report.warnings());
    figures(page);
    events(page);
    deviations(page);
  }

  static String title(VisitReport.Log log) {
    return log.probe() == null
        ? "Stability: %s".formatted(log.file())
        : "Stability: %s, probe %d".formatted(log.file(), log.probe());
  }

  private String lead() {
    if (report.limits().isEmpty()) {
      Estimate drift = report.drift();
      return drift == null
          ? "The log is too short to tell a drift."
          : "The field drifts by %s ppm/h at the end of the log; no limit on drift is stated."
              .formatted(words.estimate(drift));
    }
    List<String> sentences = new ArrayList<>();
    for (DriftVerdict v : report.limits()) {
      sentences.add(verdict(v));
      sentences.addAll(since(v));
    }
    return String.join(" ", sentences);
  }

  private String verdict(DriftVerdict v) {
    Double value = v.valuePpmPerHour();
    if (value == null) {
      return "Limit “%s”: the log does not tell a drift.".formatted(v.limit().id());
    }
    return verdictTemplate(v)
        .formatted(
            v.limit().id(),
            numerals.withUncertainty(value, Wording.expanded(v.uncertaintyPpmPerHour())),
            numerals.trimmed(v.limit().limit(), 4));
  }

  /** A whole sentence; values: the limit's name, the drift, and what is allowed. */
  private static String verdictTemplate(DriftVerdict v) {
    return switch (v.verdict()) {
      case MET -> "Limit “%s” is met: a drift of %s ppm/h where %s ppm/h is allowed.";
      case NOT_MET -> "Limit “%s” is not met: a drift of %s ppm/h where %s ppm/h is allowed.";
      case UNDECIDED -> "Limit “%s” is undecided: a drift of %s ppm/h where %s ppm/h is allowed.";
      case NOT_ASSESSED ->
          "Limit “%s” is not judged: a drift of %s ppm/h where %s ppm/h is allowed.";
    };
  }

  /** Since when, or from when, a limit holds; empty where there is nothing to say. */
  private List<String> since(DriftVerdict v) {
    Double from = v.inLimitFrom();
    if (v.valuePpmPerHour() == null || (from == null && v.verdict() == Verdict.MET)) {
      return List.of();
    }
    if (from == null) {
      return List.of("No time from which limit “%s” holds is in sight.".formatted(v.limit().id()));
    }
    if (from == 0) {
      return List.of();
    }
    String sentence =
        from > log.duration()
            ? "By the forecast, limit “%s” holds from %s."
            : "Limit “%s” has been held since %s.";
    return List.of(sentence.formatted(v.limit().id(), Wording.time(log.at(from), zone)));
  }

  private Markup chart() {
    return LogChart.draw(
        numerals,
        "The field against time over %s hours"
            .formatted(numerals.trimmed(log.duration() / HOUR, 1)),
        log.trace().stretches().stream()
            .map(s -> new LogChart.Stretch(s.time() / HOUR, s.lowPpm(), s.highPpm()))
            .toList(),
        report.events().stream()
            .map(e -> new LogChart.Mark(e.start() / HOUR, e.end() / HOUR))
            .toList());
  }

  private String caption() {
    return numerals.sentence(
        "Least and greatest value in each stretch of the log (%,d), ppm of %s T. Grey with ▽: events.",
        log.trace().stretches().size(), numerals.decimals(report.referenceField(), 8));
  }

  private List<Fact> facts() {
    List<Fact> facts = new ArrayList<>();
    facts.add(
        new Fact(
            "log",
            numerals.sentence(
                "%s to %s; samples: %,d, used: %,d, one every %s s",
                Wording.time(log.start(), zone),
                Wording.time(log.end(), zone),
                log.samples(),
                report.used(),
                numerals.significant(report.interval(), 3))));
    add(facts, "drift at the end", report.drift(), "%s ppm/h");
    add(facts, "slope of the whole", report.slope(), "%s ppm/h, of a straight line");
    add(facts, "slope as measured", report.slopeAsMeasured(), "%s ppm/h, surroundings included");
    if (report.trend() != null) {
      facts.add(
          new Fact(
              "form of the trend",
              "%s, by evidence (BIC); forms compared: %d"
                  .formatted(
                      report.trend().kind().id().replace('_', ' '), report.alternatives().size())));
    }
    for (Surroundings s : report.surroundings()) {
      boolean warm = s.quantity() == Surroundings.Quantity.TEMPERATURE;
      facts.add(
          new Fact(
              warm ? "follows temperature" : "follows air pressure",
              (warm ? "%s ppm per K, %s s later" : "%s ppm per hPa, %s s later")
                  .formatted(words.estimate(s.perUnit()), words.estimate(s.delay()))));
    }
    Ramp ramp = report.ramp();
    if (ramp != null) {
      facts.add(
          new Fact(
              "ramp",
              (ramp.settled()
                      ? "%s T/A; %s T/h at its end; settled"
                      : "%s T/A; %s T/h at its end; still running")
                  .formatted(words.estimate(ramp.fieldPerAmpere()), words.estimate(ramp.rate()))));
    }
    return facts;
  }

  private void add(List<Fact> facts, String name, @Nullable Estimate e, String template) {
    if (e != null) {
      facts.add(new Fact(name, template.formatted(words.estimate(e))));
    }
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
                  numerals,
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
                  numerals,
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
              numerals.trimmed((p.time() - log.duration()) / HOUR, 1),
              words.estimate(p.fieldPpm()),
              rate(p.ratePpmPerHour())));
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

  /** A drift that has died away is said to be below what anyone asks of a magnet. */
  private String rate(Estimate rate) {
    return Math.abs(rate.value()) + Wording.expanded(rate.uncertainty()) < LEAST_RATE
        ? "below %s".formatted(numerals.trimmed(LEAST_RATE, 6))
        : words.estimate(rate);
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
    counts.forEach((kind, count) -> parts.add(numerals.sentence("%,d × %s", count, kind)));
    page.paragraph("%s. The names say likeness, not cause.".formatted(String.join(", ", parts)));
    List<List<String>> rows = new ArrayList<>();
    for (LogEvent e : report.events().subList(0, Math.min(MOST_EVENTS, report.events().size()))) {
      rows.add(
          List.of(
              Wording.time(log.at(e.start()), zone),
              words(e),
              numerals.significant(e.duration(), 3),
              e.sizePpm() == 0 ? "–" : numerals.significant(e.sizePpm(), 3)));
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
      page.note(
          numerals.sentence(
              "Further events, not listed here: %,d.", report.events().size() - MOST_EVENTS));
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
              numerals.significant(r.tau(), 4),
              numerals.significant(r.value(), 3),
              numerals.significant(r.low(), 3),
              numerals.significant(r.high(), 3),
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
