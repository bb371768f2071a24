package org.fieldwright.app.capture;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.fieldwright.adapters.instrument.ReaderProfile;
import org.fieldwright.core.magnet.Magnet;
import org.fieldwright.core.reading.ProbeArray;
import org.jspecify.annotations.Nullable;

/** Identity and calibration of what measures. */
final class Calibration {
  private Calibration() {}

  /** A sentence for each date that has lapsed. */
  static List<String> warnings(ProbeArray array, ReaderProfile reader, LocalDate today) {
    List<String> warnings = new ArrayList<>();
    warn(
        warnings,
        "array \"" + array.name() + "\"",
        array.calibrated(),
        array.calibrationIntervalMonths(),
        today);
    warn(
        warnings,
        "reader \"" + reader.name() + "\"",
        reader.calibrated(),
        reader.calibrationIntervalMonths(),
        today);
    return warnings;
  }

  private static void warn(
      List<String> warnings,
      String what,
      @Nullable LocalDate calibrated,
      @Nullable Integer months,
      LocalDate today) {
    if (calibrated != null && months != null && today.isAfter(calibrated.plusMonths(months))) {
      warnings.add(
          "The calibration of the %s of %s lapsed on %s."
              .formatted(what, calibrated, calibrated.plusMonths(months)));
    }
  }

  /** Puts what is known beside a survey. */
  static void note(
      Map<String, String> remarks, Magnet magnet, ReaderProfile reader, String identity) {
    remarks.put("magnet", magnet.name());
    put(remarks, "serial", magnet.serial());
    remarks.put("array", magnet.array().name());
    put(remarks, "array_calibrated", magnet.array().calibrated());
    remarks.put("reader", reader.name());
    put(remarks, "reader_identity", identity.isEmpty() ? null : identity);
    put(remarks, "reader_calibrated", reader.calibrated());
    Integer months = reader.calibrationIntervalMonths();
    put(remarks, "reader_calibration_interval_months", months);
  }

  private static void put(Map<String, String> remarks, String key, @Nullable Object value) {
    if (value != null) {
      remarks.put(key, value.toString());
    }
  }
}
