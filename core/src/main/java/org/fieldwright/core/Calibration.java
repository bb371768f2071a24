package org.fieldwright.core;

import java.time.DateTimeException;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/** When something that measures was calibrated, and for how long that holds. */
public final class Calibration {
  /** Keys of the remarks at the head of a survey or log: who read it. */
  public static final String READER = "reader";

  public static final String READER_IDENTITY = "reader_identity";
  public static final String READER_CALIBRATED = "reader_calibrated";
  public static final String READER_MONTHS = "reader_calibration_interval_months";

  /** And with which array. */
  public static final String ARRAY = "array";

  public static final String ARRAY_CALIBRATED = "array_calibrated";
  public static final String ARRAY_MONTHS = "array_calibration_interval_months";

  private Calibration() {}

  /**
   * A sentence without its end if the calibration did not hold any more.
   *
   * @param what such as {@code array "half ring"}
   * @param months for how long it holds; null if that is not known
   * @param on the day of the measurement
   * @return null if it held, or nothing is known
   */
  public static @Nullable String lapsed(
      String what, @Nullable LocalDate calibrated, @Nullable Integer months, LocalDate on) {
    if (calibrated == null || months == null || !on.isAfter(calibrated.plusMonths(months))) {
      return null;
    }
    return "The calibration of the %s of %s lapsed on %s"
        .formatted(what, calibrated, calibrated.plusMonths(months));
  }

  /** What had lapsed of the reader and the array that the remarks of a file name. */
  public static List<String> lapsed(Map<String, String> remarks, LocalDate on) {
    List<String> lapsed = new ArrayList<>();
    lapsedReader(remarks, on, lapsed);
    add(lapsed, ARRAY, remarks, ARRAY_CALIBRATED, ARRAY_MONTHS, on);
    return lapsed;
  }

  /** Of the reader alone, where the array's own file is at hand. */
  public static void lapsedReader(Map<String, String> remarks, LocalDate on, List<String> into) {
    add(into, READER, remarks, READER_CALIBRATED, READER_MONTHS, on);
  }

  private static void add(
      List<String> into,
      String what,
      Map<String, String> remarks,
      String date,
      String interval,
      LocalDate on) {
    String name = remarks.getOrDefault(what, "");
    try {
      String calibrated = remarks.get(date);
      String months = remarks.get(interval);
      String sentence =
          calibrated == null || months == null
              ? null
              : lapsed(
                  what + " \"" + name + "\"",
                  LocalDate.parse(calibrated),
                  Integer.valueOf(months),
                  on);
      if (sentence != null) {
        into.add(sentence);
      }
    } catch (DateTimeException | NumberFormatException e) {
      into.add(
          "The calibration of the %s \"%s\" is not told: found %s and %s months"
              .formatted(what, name, remarks.get(date), remarks.get(interval)));
    }
  }
}
