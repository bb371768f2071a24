package org.fieldwright.adapters.text;

import org.fieldwright.core.BadInput;

/** The one form of a complaint: where, what was found, what would be right. */
public final class Found {
  private static final int SHOWN = 60;

  private Found() {}

  /**
   * A complaint about one value.
   *
   * @param where file and line, e.g. {@code a.csv:17}
   * @param field column or key
   * @param found as written in the file
   * @param expected what would be right, e.g. "a number such as 23.4167"
   */
  public static BadInput instead(String where, String field, String found, String expected) {
    return new BadInput(
        where + ": " + field + ": found " + quoted(found) + ", expected " + expected);
  }

  /** The text in quotes, cut to a readable length, with control characters made visible. */
  public static String quoted(String text) {
    if (text.isEmpty()) {
      return "nothing";
    }
    StringBuilder out = new StringBuilder("'");
    int n = Math.min(text.length(), SHOWN);
    for (int i = 0; i < n; i++) {
      char c = text.charAt(i);
      if (c < ' ' || c == 0x7f || (c >= 0x80 && c < 0xa0) || isBidiControl(c)) {
        out.append(String.format("\\u%04x", (int) c));
      } else {
        out.append(c);
      }
    }
    return out.append(text.length() > SHOWN ? "…'" : "'").toString();
  }

  /** Characters that would reorder the message on a terminal. */
  private static boolean isBidiControl(char c) {
    return (c >= 0x202a && c <= 0x202e) || (c >= 0x2066 && c <= 0x2069);
  }
}
