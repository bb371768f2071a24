package org.fieldwright.adapters.report.chart;

import java.util.ArrayDeque;
import java.util.Deque;

/**
 * Writes XML that is well-formed whatever it is given: every text and attribute is escaped, and
 * characters that the embedded fonts cannot show, or that would change how their neighbours read,
 * are written as their code ({@link Printable}).
 */
public final class Markup {
  private final StringBuilder out = new StringBuilder();
  private final Deque<String> open = new ArrayDeque<>();

  /**
   * Opens an element.
   *
   * @param attributes names and values in turn
   */
  public Markup open(String tag, String... attributes) {
    start(tag, attributes);
    out.append('>');
    open.push(tag);
    return this;
  }

  /** An element without content. */
  public Markup empty(String tag, String... attributes) {
    start(tag, attributes);
    out.append("/>");
    return this;
  }

  /** An element that holds nothing but text. */
  public Markup element(String tag, String text, String... attributes) {
    return open(tag, attributes).text(text).close();
  }

  public Markup text(String text) {
    escape(Printable.text(text));
    return this;
  }

  /** Closes the element opened last. */
  public Markup close() {
    out.append("</").append(open.pop()).append('>');
    return this;
  }

  /** Everything another writer has written; it must be complete. */
  public Markup append(Markup complete) {
    out.append(complete);
    return this;
  }

  @Override
  public String toString() {
    if (!open.isEmpty()) {
      throw new IllegalStateException("not closed: " + open);
    }
    return out.toString();
  }

  private void start(String tag, String... attributes) {
    if (attributes.length % 2 != 0) {
      throw new IllegalArgumentException("an attribute of <" + tag + "> has no value");
    }
    out.append('<').append(tag);
    for (int i = 0; i < attributes.length; i += 2) {
      out.append(' ').append(attributes[i]).append("=\"");
      escape(Printable.text(attributes[i + 1]));
      out.append('"');
    }
  }

  private void escape(String text) {
    for (int i = 0; i < text.length(); i++) {
      char c = text.charAt(i);
      switch (c) {
        case '<' -> out.append("&lt;");
        case '>' -> out.append("&gt;");
        case '&' -> out.append("&amp;");
        case '"' -> out.append("&quot;");
        default -> out.append(c);
      }
    }
  }
}
