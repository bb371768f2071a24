package org.fieldwright.adapters.report;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import org.fieldwright.adapters.report.chart.Markup;
import org.fieldwright.core.correction.IronSystem;
import org.fieldwright.core.correction.Plan;
import org.fieldwright.core.magnet.Magnet;

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
    Page page = new Page(out);
    new SummarySection(report).write(page);
    section(() -> new FieldSection(report).write(page));
    section(() -> new HarmonicsSection(report).write(page));
    section(() -> new SurveySection(report).write(page));
    Plan plan = report.plan();
    IronSystem iron = report.magnet().iron();
    if (plan != null && iron != null) {
      section(() -> new PlanSection(plan, iron).write(page));
      if (plan.piecesAdded() + plan.piecesRemoved() > 0) {
        section(() -> new LoadingSheets(plan, iron, out).write());
      }
    }
    section(() -> new BasisSection(report).write(page));
    section(() -> new ClosingSection(report).write(page));
    out.close().close();
    return out.toString();
  }

  /** Every section starts on its own page: sheets are handed out one by one. */
  private void section(Runnable body) {
    out.open("div", "class", "section");
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
    bookmarks.add(List.of("Field over the surface", "field"));
    bookmarks.add(List.of("Harmonics", "harmonics"));
    bookmarks.add(List.of("Survey", "survey"));
    Plan plan = report.plan();
    if (plan != null && report.magnet().iron() != null) {
      bookmarks.add(List.of("Plan", "plan"));
      if (plan.piecesAdded() + plan.piecesRemoved() > 0) {
        bookmarks.add(List.of("Loading sheets", "loading"));
      }
    }
    bookmarks.add(List.of("How the numbers were made", "basis"));
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
    VisitReport.Provenance provenance = report.provenance();
    out.open("div", "class", "title-block");
    out.element("p", "Field report", "class", "kind");
    out.element("h1", magnet.name(), "class", "title");
    out.open("table", "class", "title-facts").open("tbody").open("tr");
    titleFact("serial", Objects.requireNonNullElse(magnet.serial(), "not stated"));
    titleFact("nominal field", Wording.trimmed(magnet.nominalField(), 6) + " T");
    titleFact("survey", report.latest().survey().survey().file());
    titleFact("generated", Wording.time(provenance.generated(), provenance.zone()));
    titleFact("report", number);
    out.close().close().close().close();
  }

  private void titleFact(String what, String value) {
    out.open("td", "class", what.equals("generated") ? "time" : "fact");
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
