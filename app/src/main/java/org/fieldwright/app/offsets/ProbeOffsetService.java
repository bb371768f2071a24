package org.fieldwright.app.offsets;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.fieldwright.adapters.files.FieldLogFile;
import org.fieldwright.adapters.files.MagnetFile;
import org.fieldwright.adapters.files.ProbeOffsetsWriter;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.magnet.Magnet;
import org.fieldwright.core.reading.ProbeOffsetCheck;
import org.fieldwright.core.reading.ProbeOffsetCheck.Offset;
import org.fieldwright.core.reading.ProbeOffsetCheck.Sample;
import org.fieldwright.core.stability.FieldLog;

/** Compares the probes of an array at one place, and keeps the offsets where surveys find them. */
public final class ProbeOffsetService {
  private static final double SECONDS_PER_HOUR = 3600;

  private ProbeOffsetService() {}

  /**
   * The offsets.
   *
   * @param readings a field log with a {@code probe} column, every probe at the same place
   * @param write whether the magnet file gets them
   */
  public static ProbeOffsetAnswer check(Path readings, Path magnetFile, boolean write) {
    Magnet magnet = MagnetFile.read(magnetFile);
    if (magnet.array().probes().isEmpty()) {
      throw new BadInput(
          magnetFile + ": found no array.probes, expected the probes whose offsets are wanted");
    }
    FieldLog log = FieldLogFile.read(readings, magnet.array().gammaMHzPerT());
    ProbeOffsetCheck check =
        ProbeOffsetCheck.of(
            readings.toString(), samples(readings, log, magnet.nominalField()), magnet.array());
    if (write) {
      Map<Integer, Double> offsets = new LinkedHashMap<>();
      check.offsets().forEach((Offset o) -> offsets.put(o.probe(), o.ppm()));
      ProbeOffsetsWriter.write(magnetFile, offsets);
    }
    return new ProbeOffsetAnswer(
        magnet.name(), String.valueOf(readings.getFileName()), check, write);
  }

  private static List<Sample> samples(Path file, FieldLog log, double nominal) {
    int[] probe = log.probe();
    if (probe == null) {
      throw new BadInput(file + ": found no column probe, expected one that says who read what");
    }
    List<Sample> samples = new ArrayList<>();
    for (int i = 0; i < log.size(); i++) {
      double field = log.field()[i];
      if (!Double.isNaN(field)) {
        samples.add(
            new Sample(probe[i], log.time()[i] / SECONDS_PER_HOUR, (field / nominal - 1) * 1e6));
      }
    }
    return samples;
  }
}
