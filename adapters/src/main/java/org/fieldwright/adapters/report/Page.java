package org.fieldwright.adapters.report;

import java.util.List;
import org.fieldwright.adapters.report.chart.Markup;
import org.fieldwright.adapters.text.Numerals;

/** The blocks that the sections are made of. */
final class Page {
  /** Characters of a text that a narrow column must not break. */
  static final int LONGEST_UNBROKEN = 14;

  private final Markup out;
  private final Numerals numerals;

  Page(Markup out, Numerals numerals) {
    this.out = out;
    this.numerals = numerals;
  }

  Markup markup() {
    return out;
  }

  Page heading(int level, String id, String text) {
    out.element("h" + level, text, "id", id);
    return this;
  }

  Page paragraph(String text) {
    out.element("p", text);
    return this;
  }

  /** A sentence that answers the section's question. */
  Page lead(String text) {
    out.element("p", text, "class", "lead");
    return this;
  }

  Page note(String text) {
    out.element("p", text, "class", "note");
    return this;
  }

  /** Cautions as the computation words them. */
  Page warnings(List<String> warnings) {
    if (!warnings.isEmpty()) {
      out.open("ul", "class", "warnings");
      warnings.forEach(w -> out.element("li", numerals.prose(w)));
      out.close();
    }
    return this;
  }

  Page list(List<String> items) {
    out.open("ul");
    items.forEach(item -> out.element("li", item));
    out.close();
    return this;
  }

  Page figure(Markup chart, String caption) {
    out.open("div", "class", "figure");
    out.append(chart);
    out.element("p", caption, "class", "caption");
    out.close();
    return this;
  }

  /** A chart with what it shows. */
  record Figure(Markup chart, String caption) {}

  /** Two charts of half the width, side by side. */
  Page figures(Figure left, Figure right) {
    out.open("div", "class", "pair");
    for (Figure figure : List.of(left, right)) {
      out.open("div", "class", "half");
      out.append(figure.chart);
      out.element("p", figure.caption, "class", "caption");
      out.close();
    }
    out.close();
    return this;
  }

  /** Two columns: what, and how much. */
  Page facts(List<Fact> facts) {
    out.open("table", "class", "facts").open("tbody");
    for (Fact fact : facts) {
      out.open("tr");
      out.element("th", fact.what, "scope", "row");
      out.element("td", fact.value, "class", fact.mono ? "mono" : "value");
      out.close();
    }
    out.close().close();
    return this;
  }

  /**
   * A line of {@link #facts}.
   *
   * @param mono set in fixed pitch
   */
  record Fact(String what, String value, boolean mono) {
    Fact(String what, String value) {
      this(what, value, false);
    }
  }

  /** A column's head and whether it holds numbers. */
  record Column(String head, boolean number) {
    static Column text(String head) {
      return new Column(head, false);
    }

    static Column number(String head) {
      return new Column(head, true);
    }
  }

  Page table(List<Column> columns, List<List<String>> rows) {
    return table(columns, rows, "roomy");
  }

  /**
   * @param style "roomy" or "dense"
   */
  Page table(List<Column> columns, List<List<String>> rows, String style) {
    out.open("table", "class", "grid " + style).open("thead").open("tr");
    columns.forEach(c -> out.element("th", c.head, "class", style(c), "scope", "col"));
    out.close().close().open("tbody");
    for (List<String> row : rows) {
      out.open("tr");
      for (int i = 0; i < row.size(); i++) {
        String cell = row.get(i);
        boolean brief = !columns.get(i).number && cell.length() <= LONGEST_UNBROKEN;
        out.element("td", cell, "class", style(columns.get(i)) + (brief ? " unbroken" : ""));
      }
      out.close();
    }
    out.close().close();
    return this;
  }

  private static String style(Column column) {
    return column.number ? "num" : "txt";
  }
}
