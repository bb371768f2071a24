package org.fieldwright.adapters.files;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.fieldwright.adapters.yaml.Expected;
import org.fieldwright.adapters.yaml.YamlMap;
import org.fieldwright.adapters.yaml.YamlNode;
import org.fieldwright.core.geometry.Volume;
import org.fieldwright.core.homogeneity.Limit;
import org.fieldwright.core.homogeneity.Limit.Measure;
import org.jspecify.annotations.Nullable;

/** {@code limits}: what is required. */
final class LimitsSection {
  private static final double HALF_MM = 0.5e-3;
  private static final String[] KEYS = {
    "id",
    "shape",
    "measure",
    "diameter_mm",
    "diameters_mm",
    "length_mm",
    "limit_ppm",
    "limit_ppm_per_hour"
  };

  /** The lengths that describe a shape; others are refused beside it. */
  private static final Map<String, Set<String>> LENGTHS =
      Map.of(
          "sphere", Set.of("diameter_mm"),
          "ellipsoid", Set.of("diameters_mm"),
          "cylinder", Set.of("diameter_mm", "length_mm"));

  private LimitsSection() {}

  static List<Limit> read(@Nullable YamlNode node) {
    List<Limit> limits = new ArrayList<>();
    Set<String> ids = new HashSet<>();
    for (YamlNode item : node == null ? List.<YamlNode>of() : node.list()) {
      YamlMap map = item.map(KEYS);
      String id = map.text("id");
      if (!ids.add(id)) {
        throw map.require("id").complain("an id that no other limit has");
      }
      limits.add(limit(id, map));
    }
    return limits;
  }

  private static Limit limit(String id, YamlMap map) {
    String name =
        map.require("measure").oneOf(List.of("peak_to_peak", "surface_rms", "volume_rms", "drift"));
    if (name.equals("drift")) {
      refuse(map, Set.of("shape", "diameter_mm", "diameters_mm", "length_mm"), "a drift");
      refuse(map, Set.of("limit_ppm"), "a drift (its limit is limit_ppm_per_hour)");
      return new Limit(
          id, Measure.DRIFT, null, map.number("limit_ppm_per_hour", Expected.POSITIVE));
    }
    refuse(map, Set.of("limit_ppm_per_hour"), "a homogeneity (its limit is limit_ppm)");
    Measure measure =
        switch (name) {
          case "peak_to_peak" -> Measure.PEAK_TO_PEAK;
          case "surface_rms" -> Measure.SURFACE_RMS;
          default -> Measure.VOLUME_RMS;
        };
    return new Limit(id, measure, volume(map), map.number("limit_ppm", Expected.POSITIVE));
  }

  private static Volume volume(YamlMap map) {
    String shape = map.require("shape").oneOf(List.of("sphere", "ellipsoid", "cylinder"));
    Set<String> lengths = LENGTHS.getOrDefault(shape, Set.of());
    for (String key : List.of("diameter_mm", "diameters_mm", "length_mm")) {
      if (!lengths.contains(key)) {
        refuse(map, Set.of(key), "the shape " + shape);
      }
    }
    return switch (shape) {
      case "sphere" -> new Volume.Sphere(map.number("diameter_mm", Expected.POSITIVE) * HALF_MM);
      case "ellipsoid" -> {
        double[] d = map.require("diameters_mm").numbers(3, Expected.POSITIVE);
        yield new Volume.Ellipsoid(d[0] * HALF_MM, d[1] * HALF_MM, d[2] * HALF_MM);
      }
      default ->
          new Volume.Cylinder(
              map.number("diameter_mm", Expected.POSITIVE) * HALF_MM,
              map.number("length_mm", Expected.POSITIVE) * HALF_MM);
    };
  }

  private static void refuse(YamlMap map, Set<String> keys, String beside) {
    for (String key : keys) {
      YamlNode value = map.get(key);
      if (value != null) {
        throw value.complain("no such key for " + beside);
      }
    }
  }
}
