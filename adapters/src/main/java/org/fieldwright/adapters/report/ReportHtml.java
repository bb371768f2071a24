package org.fieldwright.adapters.report;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.stream.Stream;
import org.fieldwright.adapters.report.chart.Markup;
import org.fieldwright.core.correction.IronSystem;
import org.fieldwright.core.correction.Plan;
import org.fieldwright.core.magnet.Magnet;
import org.fieldwright.core.reading.Reading;
import org.jspecify.annotations.Nullable;

/** The report as one XHTML document, laid out for A4 by its style sheet. */
final class ReportHtml {
  private final VisitReport report;
  private final String number;
  private final Markup out = new Markup();

  /**
   * @param number what identifies the report, printed on every page
   */
  ReportHtml(VisitReport report, String number) {
    this.report = report;
    this.number = number;
  }

  String write() {
    out.open("html", "xmlns", "http://www.w3.org/1999/xhtml", "lang", "en");
    head();
    out.open("body");
    runningLines();
    titleBlock();
    Page page = new Page(out, report.numerals());
    new SummarySection(report).write(page);
    block("opening", () -> new MethodSection(report).write(page));
    new SurveySection(report).write(page);
    new DecisionSection(report).write(page);
    new FieldSection(report).write(page);
    new HarmonicsSection(report).write(page);
    if (!report.rounds().isEmpty()) {
      new RoundsSection(report).write(page);
    }
    loadings(page);
    for (int k = 0; k < report.logs().size(); k++) {
      new StabilitySection(report, report.logs().get(k), stability(k)).write(page);
    }
    block("whole", () -> new ClosingSection(report).write(page));
    out.close().close();
    return out.toString();
  }

  private static String stability(int log) {
    return "stability-" + (log + 1);
  }

  /** A loading that the report shows. */
  private record Shown(String title, String id, Plan plan, IronSystem iron) {
    boolean changes() {
      return plan.piecesAdded() + plan.piecesRemoved() > 0;
    }
  }

  private List<Shown> shown() {
    List<Shown> shown = new ArrayList<>();
    boolean several = report.rounds().stream().filter(r -> r.plan() != null).count() > 1;
    for (int k = 0; k < report.rounds().size(); k++) {
      Plan plan = report.rounds().get(k).plan();
      IronSystem iron = report.rounds().get(k).iron();
      if (plan != null && iron != null) {
        shown.add(new Shown(several ? ", round " + (k + 1) : "", "-" + (k + 1), plan, iron));
      }
    }
    return shown;
  }

  private void loadings(Page page) {
    for (Shown s : shown()) {
      new PlanSection(report, s.plan(), s.iron(), s.title(), s.id()).write(page);
      if (s.changes()) {
        block(
            "handed-out",
            () -> new LoadingSheets(report, s.plan(), s.iron(), out).write(s.title(), s.id()));
      }
    }
  }

  /**
   * A part with pages of its own.
   *
   * @param kind "opening" begins a page, "handed-out" shares none with what is before and after it,
   *     "whole" is not parted where it fits on a page
   */
  private void block(String kind, Runnable body) {
    out.open("div", "class", kind);
    body.run();
    out.close();
  }

  private void head() {
    Magnet magnet = report.magnet();
    out.open("head");
    out.element("title", "Field report, " + magnet.name());
    out.empty("meta", "name", "subject", "content", "Homogeneity of " + magnet.name());
    out.empty("meta", "name", "description", "content", "Field report " + number);
    out.element("style", styleSheet());
    out.open("bookmarks");
    for (List<String> b : bookmarks()) {
      out.empty("bookmark", "name", b.get(0), "href", "#" + b.get(1));
    }
    out.close().close();
  }

  private List<List<String>> bookmarks() {
    List<List<String>> bookmarks = new ArrayList<>();
    bookmarks.add(List.of("Verdicts", "verdicts"));
    bookmarks.add(List.of("Method", "method"));
    bookmarks.add(List.of("Data", "survey"));
    bookmarks.add(List.of("Uncertainty and decision", "decision"));
    bookmarks.add(List.of("Field over the surface", "field"));
    bookmarks.add(List.of("Harmonics", "harmonics"));
    if (!report.rounds().isEmpty()) {
      bookmarks.add(List.of("Rounds", "rounds"));
    }
    for (Shown s : shown()) {
      bookmarks.add(List.of("Plan" + s.title(), "plan" + s.id()));
      if (s.changes()) {
        bookmarks.add(List.of("Loading sheets" + s.title(), "loading" + s.id()));
      }
    }
    for (int k = 0; k < report.logs().size(); k++) {
      bookmarks.add(List.of("Stability: " + report.logs().get(k).file(), stability(k)));
    }
    bookmarks.add(List.of("Cautions", "cautions"));
    bookmarks.add(List.of("Signatures", "signatures"));
    return bookmarks;
  }

  private void runningLines() {
    out.open("div", "class", "running-foot");
    out.text(report.magnet().name() + "  ·  report " + number);
    out.close();
  }

  private void titleBlock() {
    Magnet magnet = report.magnet();
    VisitReport.Title title = report.title();
    VisitReport.Provenance provenance = report.provenance();
    out.open("div", "class", "title-block");
    out.element("p", "Field report", "class", "kind");
    out.element("h1", magnet.name(), "class", "title");
    out.open("table", "class", "title-facts").open("tbody");
    out.open("tr");
    titleFact("serial", stated(magnet.serial()));
    titleFact(
        "nominal field", "%s T".formatted(report.numerals().trimmed(magnet.nominalField(), 6)));
    titleFact("site", stated(title.site()));
    titleFact("measured", measured());
    out.close().open("tr");
    titleFact("measured by", stated(title.measuredBy()));
    titleFact("instrument", Objects.requireNonNullElse(title.instrument(), magnet.array().name()));
    titleFact("calibration", Wording.calibration(magnet.array(), lastDay()));
    String given = title.number();
    titleFact("report", given == null ? number : given + " (" + number + ")");
    out.close().close().close();
    out.element(
        "p",
        "Generated %s by %s."
            .formatted(
                Wording.time(provenance.generated(), provenance.zone()), provenance.program()),
        "class",
        "note");
    out.close();
  }

  private static String stated(@Nullable String text) {
    return text == null ? "not stated" : text;
  }

  /** The days from the first reading to the last. */
  private String measured() {
    List<LocalDate> days = days();
    if (days.isEmpty()) {
      return "not stated";
    }
    LocalDate last = days.get(days.size() - 1);
    return days.get(0).equals(last) ? last.toString() : days.get(0) + " to " + last;
  }

  private LocalDate lastDay() {
    List<LocalDate> days = days();
    return days.isEmpty()
        ? LocalDate.ofInstant(report.provenance().generated(), report.provenance().zone())
        : days.get(days.size() - 1);
  }

  private List<LocalDate> days() {
    return Stream.concat(
            Stream.of(report.found()),
            report.rounds().stream().map(VisitReport.Round::after).filter(Objects::nonNull))
        .flatMap(s -> Objects.requireNonNull(s).survey().survey().readings().stream())
        .map(Reading::time)
        .filter(Objects::nonNull)
        .map(t -> LocalDate.ofInstant(Objects.requireNonNull(t), report.provenance().zone()))
        .distinct()
        .sorted()
        .toList();
  }

  private void titleFact(String what, String value) {
    out.open("td", "class", "fact");
    out.element("span", what, "class", "what");
    out.empty("br");
    out.text(value);
    out.close();
  }

  private static String styleSheet() {
    try (InputStream in = ReportHtml.class.getResourceAsStream("report.css")) {
      return new String(Objects.requireNonNull(in).readAllBytes(), StandardCharsets.UTF_8);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
