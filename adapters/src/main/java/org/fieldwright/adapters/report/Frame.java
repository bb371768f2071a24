package org.fieldwright.adapters.report;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Objects;
import org.fieldwright.adapters.report.Page.Fact;
import org.fieldwright.adapters.report.VisitReport.InputFile;
import org.fieldwright.adapters.report.VisitReport.Provenance;
import org.fieldwright.adapters.report.chart.Markup;
import org.jspecify.annotations.Nullable;

/** What every document has: head, running foot, title block and the list of what was read. */
final class Frame {
  /** Shows decimal mark and grouping. */
  private static final double SAMPLE = 1234.56;

  private final Markup out;

  Frame(Markup out) {
    this.out = out;
  }

  /** A line of the outline that readers of PDF show beside the pages. */
  record Bookmark(String name, String id) {}

  /** Opens the document; the body is open after it. */
  void open(String title, String subject, String description, List<Bookmark> bookmarks) {
    out.open("html", "xmlns", "http://www.w3.org/1999/xhtml", "lang", "en");
    out.open("head");
    out.element("title", title);
    out.empty("meta", "name", "subject", "content", subject);
    out.empty("meta", "name", "description", "content", description);
    out.element("style", styleSheet());
    out.open("bookmarks");
    for (Bookmark b : bookmarks) {
      out.empty("bookmark", "name", b.name, "href", "#" + b.id);
    }
    out.close().close();
    out.open("body");
  }

  /** Closes what {@link #open} opened. */
  void close() {
    out.close().close();
  }

  /** At the foot of every page. */
  void foot(String text) {
    out.open("div", "class", "running-foot");
    out.text(text);
    out.close();
  }

  /**
   * The block on the first page.
   *
   * @param rows of facts, side by side
   */
  void title(String kind, String name, List<List<Fact>> rows, Provenance provenance) {
    out.open("div", "class", "title-block");
    out.element("p", kind, "class", "kind");
    out.element("h1", name, "class", "title");
    out.open("table", "class", "title-facts").open("tbody");
    for (List<Fact> row : rows) {
      out.open("tr");
      row.forEach(this::titleFact);
      out.close();
    }
    out.close().close();
    out.element(
        "p",
        "Generated %s by %s. Numbers are written as in %s: %s."
            .formatted(
                Wording.time(provenance.generated(), provenance.zone()),
                provenance.program(),
                provenance.numerals().language(),
                provenance.numerals().decimals(SAMPLE, 2)),
        "class",
        "note");
    out.close();
  }

  private void titleFact(Fact fact) {
    out.open("td", "class", "fact");
    out.element("span", fact.what(), "class", "what");
    out.empty("br");
    out.text(fact.value());
    out.close();
  }

  static String stated(@Nullable String text) {
    return text == null ? "not stated" : text;
  }

  /** The files read, with what tells that they are the same. */
  void inputs(List<InputFile> files) {
    openTable("grid inputs", List.of("what", "file", "SHA-256"));
    for (InputFile file : files) {
      out.open("tr");
      out.element("td", file.role(), "class", "txt");
      out.element("td", file.name(), "class", "txt name");
      out.element("td", file.sha256(), "class", "txt mono");
      out.close();
    }
    out.close().close();
  }

  /** Lines to sign on. */
  void signatures(List<String> roles) {
    openTable("signs", List.of("", "name", "date", "signature"));
    for (String role : roles) {
      out.open("tr");
      out.element("th", role, "class", "txt", "scope", "row");
      for (int i = 0; i < 3; i++) {
        out.element("td", " ");
      }
      out.close();
    }
    out.close().close();
  }

  private void openTable(String style, List<String> heads) {
    out.open("table", "class", style).open("thead").open("tr");
    heads.forEach(head -> out.element("th", head, "class", "txt", "scope", "col"));
    out.close().close().open("tbody");
  }

  private static String styleSheet() {
    try (InputStream in = Frame.class.getResourceAsStream("report.css")) {
      return new String(Objects.requireNonNull(in).readAllBytes(), StandardCharsets.UTF_8);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
