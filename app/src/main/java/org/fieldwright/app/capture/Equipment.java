package org.fieldwright.app.capture;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.fieldwright.adapters.files.MagnetFile;
import org.fieldwright.adapters.instrument.ReaderProfile;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.Calibration;
import org.fieldwright.core.magnet.Magnet;
import org.jspecify.annotations.Nullable;

/** Who measures what, and when it was calibrated: kept with every survey and log. */
final class Equipment {
  private Equipment() {}

  /** The magnet of a file, whose array must have probes to be read. */
  static Magnet magnet(Path file) throws IOException {
    Magnet magnet = MagnetFile.read(file);
    if (magnet.array().probes().isEmpty()) {
      throw new BadInput(file + ": array.probes: found none, expected the probes of the array");
    }
    return magnet;
  }

  /** A sentence for each calibration that has lapsed. */
  static List<String> warnings(Map<String, String> remarks, Instant now) {
    return Calibration.lapsed(remarks, LocalDate.ofInstant(now, ZoneOffset.UTC)).stream()
        .map(lapsed -> lapsed + ".")
        .toList();
  }

  /**
   * What heads a survey or log.
   *
   * @param identity what the reader says of itself; empty if it is not asked
   */
  static Map<String, String> remarks(Magnet magnet, ReaderProfile reader, String identity) {
    Map<String, String> remarks = new LinkedHashMap<>();
    remarks.put("magnet", magnet.name());
    put(remarks, "serial", magnet.serial());
    remarks.put(Calibration.ARRAY, magnet.array().name());
    put(remarks, Calibration.ARRAY_CALIBRATED, magnet.array().calibrated());
    Integer arrayMonths = magnet.array().calibrationIntervalMonths();
    put(remarks, Calibration.ARRAY_MONTHS, arrayMonths);
    remarks.put(Calibration.READER, reader.name());
    put(remarks, Calibration.READER_IDENTITY, identity.isEmpty() ? null : identity);
    put(remarks, Calibration.READER_CALIBRATED, reader.calibrated());
    Integer readerMonths = reader.calibrationIntervalMonths();
    put(remarks, Calibration.READER_MONTHS, readerMonths);
    return remarks;
  }

  static void put(Map<String, String> remarks, String key, @Nullable Object value) {
    if (value != null) {
      remarks.put(key, value.toString());
    }
  }
}
