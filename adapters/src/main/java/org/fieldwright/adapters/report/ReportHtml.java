package org.fieldwright.adapters.report;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.stream.Stream;
import org.fieldwright.adapters.report.Frame.Bookmark;
import org.fieldwright.adapters.report.Page.Fact;
import org.fieldwright.adapters.report.chart.Markup;
import org.fieldwright.core.correction.IronSystem;
import org.fieldwright.core.correction.Plan;
import org.fieldwright.core.magnet.Magnet;
import org.fieldwright.core.reading.Reading;

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
    Frame frame = new Frame(out);
    String name = report.magnet().name();
    frame.open(
        "Field report, %s".formatted(name),
        "Homogeneity of %s".formatted(name),
        "Field report %s".formatted(number),
        bookmarks());
    frame.foot("%s  ·  report %s".formatted(name, number));
    titleBlock(frame);
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
    stability(page);
    block("whole", () -> new ClosingSection(report).write(page));
    frame.close();
    return out.toString();
  }

  private void stability(Page page) {
    for (List<VisitReport.Log> file : report.logsByFile()) {
      if (file.get(0).probe() != null) {
        new ProbesSection(report, file).write(page);
      }
      file.forEach(log -> new StabilitySection(report, log).write(page));
    }
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

  private List<Bookmark> bookmarks() {
    List<Bookmark> bookmarks = new ArrayList<>();
    bookmarks.add(new Bookmark("Verdicts", "verdicts"));
    bookmarks.add(new Bookmark("Method", "method"));
    bookmarks.add(new Bookmark("Data", "survey"));
    bookmarks.add(new Bookmark("Uncertainty and decision", "decision"));
    bookmarks.add(new Bookmark("Field over the surface", "field"));
    bookmarks.add(new Bookmark("Harmonics", "harmonics"));
    if (!report.rounds().isEmpty()) {
      bookmarks.add(new Bookmark("Rounds", "rounds"));
    }
    for (Shown s : shown()) {
      bookmarks.add(new Bookmark("Plan" + s.title(), "plan" + s.id()));
      if (s.changes()) {
        bookmarks.add(new Bookmark("Loading sheets" + s.title(), "loading" + s.id()));
      }
    }
    for (List<VisitReport.Log> file : report.logsByFile()) {
      if (file.get(0).probe() != null) {
        bookmarks.add(new Bookmark(ProbesSection.title(file), ProbesSection.id(file)));
      }
      for (VisitReport.Log log : file) {
        bookmarks.add(new Bookmark(StabilitySection.title(log), StabilitySection.id(log)));
      }
    }
    bookmarks.add(new Bookmark("Cautions", "cautions"));
    bookmarks.add(new Bookmark("Signatures", "signatures"));
    return bookmarks;
  }

  private void titleBlock(Frame frame) {
    Magnet magnet = report.magnet();
    VisitReport.Title title = report.title();
    String given = title.number();
    frame.title(
        "Field report",
        magnet.name(),
        List.of(
            List.of(
                new Fact("serial", Frame.stated(magnet.serial())),
                new Fact(
                    "nominal field",
                    "%s T".formatted(report.numerals().trimmed(magnet.nominalField(), 6))),
                new Fact("site", Frame.stated(title.site())),
                new Fact("measured", measured())),
            List.of(
                new Fact("measured by", Frame.stated(title.measuredBy())),
                new Fact(
                    "instrument",
                    Objects.requireNonNullElse(title.instrument(), magnet.array().name())),
                new Fact("calibration", Wording.calibration(magnet.array(), lastDay())),
                new Fact("report", given == null ? number : "%s (%s)".formatted(given, number)))),
        report.provenance());
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
}
