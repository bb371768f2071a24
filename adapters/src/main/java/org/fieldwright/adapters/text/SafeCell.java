package org.fieldwright.adapters.text;

/**
 * Text as a cell of a comma-separated file: quoted where need be, and never a formula. A
 * spreadsheet computes what begins with = + - @ (or a tab or return before it); such text gets an
 * apostrophe in front, the mark by which spreadsheets themselves keep text as text.
 */
public final class SafeCell {
  private SafeCell() {}

  public static String of(String text) {
    String safe = startsFormula(text) ? "'" + text : text;
    boolean quote = safe.startsWith("#") || !safe.strip().equals(safe);
    for (int i = 0; i < safe.length() && !quote; i++) {
      quote = ",;\t\"\r\n".indexOf(safe.charAt(i)) >= 0;
    }
    return quote ? '"' + safe.replace("\"", "\"\"") + '"' : safe;
  }

  private static boolean startsFormula(String text) {
    return !text.isEmpty() && "=+-@\t\r".indexOf(text.charAt(0)) >= 0;
  }
}
