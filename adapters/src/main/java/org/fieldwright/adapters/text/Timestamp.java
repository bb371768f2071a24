package org.fieldwright.adapters.text;

import java.time.DateTimeException;
import java.time.Instant;
import java.time.LocalDate;
import org.jspecify.annotations.Nullable;

/**
 * Points in time as ISO 8601 writes them: {@code 2026-03-02T10:15:30.25+01:00}. An offset (or Z) is
 * required: a local time alone is ambiguous whenever clocks are set back. Between date and time a
 * blank may stand for the T.
 *
 * <p>Reusable and mutable, so that ten million times can be read without an object for each; not
 * for use by several threads at once.
 */
public final class Timestamp {
  /** What would be right, for messages. */
  public static final String EXPECTED =
      "an ISO 8601 time with its offset from UTC, such as 2026-03-02T10:15:30+01:00 or"
          + " 2026-03-02T09:15:30Z";

  private String text = "";
  private int at;
  private long epochSecond;
  private int nano;
  private long knownDay = Long.MIN_VALUE; // year, month and day of the last date seen, packed
  private long knownEpochDay;

  /**
   * Reads the text; {@link #epochSecond()} and {@link #nano()} then tell the instant.
   *
   * @return null if it is a point in time, else what is wrong with it
   */
  public @Nullable String read(String s) {
    text = s;
    at = 0;
    try {
      long day = date();
      if (at < text.length()
          && text.charAt(at) != 'T'
          && text.charAt(at) != 't'
          && text.charAt(at) != ' ') {
        throw new DateTimeException("");
      }
      at++;
      int second = timeOfDay();
      nano = fraction();
      int offset = offset();
      epochSecond = day * 86_400 + second - offset;
      return at == text.length() ? null : EXPECTED;
    } catch (DateTimeException e) {
      String detail = e.getMessage();
      return detail == null || detail.isEmpty() ? EXPECTED : EXPECTED + " (" + detail + ")";
    }
  }

  public long epochSecond() {
    return epochSecond;
  }

  public int nano() {
    return nano;
  }

  public Instant instant() {
    return Instant.ofEpochSecond(epochSecond, nano);
  }

  private long date() {
    int year = digits(4);
    expect('-');
    int month = digits(2);
    expect('-');
    int day = digits(2);
    long packed = (year * 100L + month) * 100 + day;
    if (packed != knownDay) {
      knownEpochDay = LocalDate.of(year, month, day).toEpochDay(); // refuses 31 February
      knownDay = packed;
    }
    return knownEpochDay;
  }

  private int timeOfDay() {
    if (at >= text.length()) {
      throw new DateTimeException("the time of day is missing");
    }
    int hour = digits(2);
    expect(':');
    int minute = digits(2);
    int second = 0;
    if (at < text.length() && text.charAt(at) == ':') {
      at++;
      second = digits(2);
    }
    if (hour > 23 || minute > 59 || second > 59) {
      throw new DateTimeException("hours run to 23, minutes and seconds to 59");
    }
    return (hour * 60 + minute) * 60 + second;
  }

  private int fraction() {
    if (at >= text.length() || (text.charAt(at) != '.' && text.charAt(at) != ',')) {
      return 0;
    }
    at++;
    int value = 0;
    int first = at;
    while (at < text.length() && isDigit(text.charAt(at))) {
      value = at - first < 9 ? 10 * value + (text.charAt(at) - '0') : value;
      at++;
    }
    if (at == first) {
      throw new DateTimeException("");
    }
    for (int k = at - first; k < 9; k++) {
      value *= 10;
    }
    return value;
  }

  /** Seconds east of Greenwich. */
  private int offset() {
    if (at >= text.length()) {
      throw new DateTimeException("the offset is missing; local time alone is ambiguous");
    }
    char c = text.charAt(at++);
    if (c == 'Z' || c == 'z') {
      return 0;
    }
    if (c != '+' && c != '-' && c != '\u2212') {
      throw new DateTimeException("");
    }
    int hours = digits(2);
    if (at < text.length() && text.charAt(at) == ':') {
      at++;
    }
    int minutes = at < text.length() ? digits(2) : 0;
    if (hours > 18 || minutes > 59) {
      throw new DateTimeException("offsets run from -18:00 to +18:00");
    }
    int seconds = (hours * 60 + minutes) * 60;
    return c == '+' ? seconds : -seconds;
  }

  private int digits(int count) {
    if (at + count > text.length()) {
      throw new DateTimeException("");
    }
    int value = 0;
    for (int k = 0; k < count; k++) {
      char c = text.charAt(at++);
      if (!isDigit(c)) {
        throw new DateTimeException("");
      }
      value = 10 * value + (c - '0');
    }
    return value;
  }

  private void expect(char c) {
    if (at >= text.length() || text.charAt(at) != c) {
      throw new DateTimeException("");
    }
    at++;
  }

  private static boolean isDigit(char c) {
    return c >= '0' && c <= '9';
  }
}
