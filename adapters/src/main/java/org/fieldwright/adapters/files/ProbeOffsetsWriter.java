package org.fieldwright.adapters.files;

import java.nio.file.Path;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.fieldwright.adapters.yaml.YamlEdit;
import org.fieldwright.adapters.yaml.YamlFile;
import org.fieldwright.adapters.yaml.YamlNode;
import org.fieldwright.core.reading.Probe;

/** Puts probe offsets into a magnet file, whole or not at all, and leaves every other byte. */
public final class ProbeOffsetsWriter {
  private ProbeOffsetsWriter() {}

  /**
   * Writes the offsets.
   *
   * @param offsetsPpm by probe id, one for every probe of the file
   */
  public static void write(Path magnetFile, Map<Integer, Double> offsetsPpm) {
    YamlNode probes =
        YamlFile.read(magnetFile).mapOfAnyKeys().require("array").mapOfAnyKeys().require("probes");
    if (probes.isMap()) {
      throw probes.complain(
          "a list, since a rule has no place for offsets:" + list(magnetFile, offsetsPpm));
    }
    List<YamlNode> items = probes.list();
    Map<List<String>, Map<String, String>> changes = new LinkedHashMap<>();
    for (int place = 0; place < items.size(); place++) {
      int id = items.get(place).mapOfAnyKeys().require("id").integer(-1_000_000, 1_000_000);
      changes.put(
          List.of("array", "probes", String.valueOf(place)),
          Map.of("offset_ppm", written(offsetsPpm, id)));
    }
    YamlEdit.setNumbers(magnetFile, changes);
  }

  /** To a tenth of what the best reader resolves. */
  private static String written(Map<Integer, Double> offsetsPpm, int id) {
    Double ppm = offsetsPpm.get(id);
    if (ppm == null) {
      throw new IllegalArgumentException("no offset of probe " + id);
    }
    return String.format(Locale.ROOT, "%.4f", ppm);
  }

  /** The probes of a rule as the list to put in its place. */
  private static String list(Path file, Map<Integer, Double> offsetsPpm) {
    StringBuilder list = new StringBuilder();
    for (Probe probe : MagnetFile.read(file).array().probes()) {
      list.append(
          String.format(
              Locale.ROOT,
              "\n    - {id: %d, polar_deg: %.9f, offset_ppm: %s}",
              probe.id(),
              Math.toDegrees(probe.polar()),
              written(offsetsPpm, probe.id())));
    }
    return list.toString();
  }
}
