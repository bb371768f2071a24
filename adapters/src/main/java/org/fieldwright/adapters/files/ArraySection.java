package org.fieldwright.adapters.files;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.fieldwright.adapters.yaml.Expected;
import org.fieldwright.adapters.yaml.YamlMap;
import org.fieldwright.adapters.yaml.YamlNode;
import org.fieldwright.core.geometry.GaussLegendre;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.magnetostatics.Constants;
import org.fieldwright.core.reading.Nuisances;
import org.fieldwright.core.reading.Probe;
import org.fieldwright.core.reading.ProbeArray;
import org.fieldwright.core.reading.ProbeArray.Modulus;
import org.fieldwright.core.reading.ProbeArray.Range;
import org.fieldwright.core.reading.ProbeArray.Uncertainty;
import org.jspecify.annotations.Nullable;

/** {@code array}: what measures the magnet. */
final class ArraySection {
  private static final int MOST_PROBES = 1000;
  private static final double MM = 1e-3;

  private ArraySection() {}

  static ProbeArray read(@Nullable YamlNode node, Vec3 fieldAxis) {
    if (node == null) {
      Sample water = sample(null);
      return new ProbeArray(
          "not described",
          water.gamma(),
          water.source(),
          null,
          List.of(),
          null,
          null,
          null,
          Uncertainty.UNSTATED,
          modulus(null, fieldAxis),
          Nuisances.NONE);
    }
    YamlMap map =
        node.map(
            "name",
            "sample",
            "radius_mm",
            "probes",
            "range_MHz",
            "calibrated",
            "calibration_interval_months",
            "modulus",
            "free",
            "uncertainty");
    Double radius = metres(map.optionalNumber("radius_mm", Expected.POSITIVE));
    Sample sample = sample(map.get("sample"));
    YamlNode calibrated = map.get("calibrated");
    YamlNode interval = map.get("calibration_interval_months");
    List<Probe> probes = probes(map.get("probes"), radius);
    return new ProbeArray(
        map.has("name") ? map.text("name") : "unnamed",
        sample.gamma(),
        sample.source(),
        radius,
        probes,
        range(map.get("range_MHz")),
        calibrated == null ? null : calibrated.date(),
        interval == null ? null : (Integer) interval.integer(1, 1200),
        uncertainty(map.get("uncertainty")),
        modulus(map.get("modulus"), fieldAxis),
        free(map.get("free"), probes));
  }

  private static Nuisances free(@Nullable YamlNode node, List<Probe> probes) {
    if (node == null) {
      return Nuisances.NONE;
    }
    YamlMap map = node.map("probes", "angles_deg", "drift");
    Set<Integer> ids = new HashSet<>();
    for (YamlNode item : list(map, "probes")) {
      int id = item.integer(-1_000_000, 1_000_000);
      if (probes.stream().noneMatch(p -> p.id() == id)) {
        throw item.complain("the id of a probe of this array");
      }
      ids.add(id);
    }
    List<Double> angles =
        list(map, "angles_deg").stream().map(a -> a.number(Expected.NUMBER)).toList();
    YamlNode drift = map.get("drift");
    return new Nuisances(ids, angles, drift != null && drift.yesOrNo());
  }

  private static List<YamlNode> list(YamlMap map, String key) {
    YamlNode node = map.get(key);
    return node == null ? List.of() : node.list();
  }

  private static @Nullable Modulus modulus(@Nullable YamlNode node, Vec3 fieldAxis) {
    String word =
        node == null ? "carried" : node.oneOf(List.of("carried", "taken_off", "not_read"));
    return word.equals("not_read") ? null : new Modulus(fieldAxis, word.equals("taken_off"));
  }

  /** γ/2π in MHz/T and where it is from. */
  private record Sample(double gamma, String source) {}

  /** CODATA 2022. */
  private static Sample sample(@Nullable YamlNode node) {
    if (node != null && node.isMap()) {
      YamlMap map = node.map("gamma_MHz_per_T");
      return new Sample(
          map.number("gamma_MHz_per_T", Expected.POSITIVE), "as stated in the magnet file");
    }
    String name = node == null ? "water" : node.oneOf(List.of("water", "proton"));
    return name.equals("water")
        ? new Sample(
            Constants.SHIELDED_PROTON_MHZ_PER_T,
            "shielded proton (water, sphere, 25 °C), CODATA 2022")
        : new Sample(Constants.PROTON_MHZ_PER_T, "free proton, CODATA 2022");
  }

  private static List<Probe> probes(@Nullable YamlNode node, @Nullable Double radius) {
    if (node == null) {
      return List.of();
    }
    if (node.isMap()) {
      return gaussLegendre(node.map("kind", "count"), radius);
    }
    List<Probe> probes = new ArrayList<>();
    Set<Integer> ids = new HashSet<>();
    for (YamlNode item : node.list()) {
      YamlMap map = item.map("id", "polar_deg", "radius_mm", "offset_ppm");
      int id = map.require("id").integer(-1_000_000, 1_000_000);
      if (!ids.add(id)) {
        throw map.require("id").complain("an id that no other probe has");
      }
      Double own = metres(map.optionalNumber("radius_mm", Expected.POSITIVE));
      probes.add(
          new Probe(
              id,
              Math.toRadians(map.number("polar_deg", Expected.within(0, 360))),
              own != null ? own : requireRadius(map, radius),
              map.numberOr("offset_ppm", Expected.NUMBER, 0)));
    }
    if (probes.isEmpty() || probes.size() > MOST_PROBES) {
      throw node.complain("from 1 to " + MOST_PROBES + " probes");
    }
    return probes;
  }

  private static List<Probe> gaussLegendre(YamlMap map, @Nullable Double radius) {
    map.require("kind").oneOf(List.of("gauss_legendre"));
    int count = map.require("count").integer(1, MOST_PROBES);
    double r = requireRadius(map, radius);
    GaussLegendre rule = GaussLegendre.of(count);
    List<Probe> probes = new ArrayList<>();
    for (int i = 0; i < count; i++) {
      probes.add(new Probe(i + 1, Math.acos(rule.node(i)), r, 0));
    }
    return probes;
  }

  private static double requireRadius(YamlMap map, @Nullable Double radius) {
    if (radius == null) {
      throw map.complain("no radius", "radius_mm here or array.radius_mm for every probe");
    }
    return radius;
  }

  private static @Nullable Range range(@Nullable YamlNode node) {
    if (node == null) {
      return null;
    }
    double[] f = node.numbers(2, Expected.POSITIVE);
    if (!(f[0] < f[1])) {
      throw node.complain("the lower frequency first, then the higher, MHz");
    }
    return new Range(f[0], f[1]);
  }

  private static Uncertainty uncertainty(@Nullable YamlNode node) {
    if (node == null) {
      return Uncertainty.UNSTATED;
    }
    YamlMap map = node.map("reading_ppm", "position_mm", "angle_deg", "normalisation_ppm");
    Double angle = map.optionalNumber("angle_deg", Expected.NOT_NEGATIVE);
    return new Uncertainty(
        map.optionalNumber("reading_ppm", Expected.NOT_NEGATIVE),
        metres(map.optionalNumber("position_mm", Expected.NOT_NEGATIVE)),
        angle == null ? null : (Double) Math.toRadians(angle),
        map.optionalNumber("normalisation_ppm", Expected.NOT_NEGATIVE));
  }

  private static @Nullable Double metres(@Nullable Double mm) {
    return mm == null ? null : (Double) (mm * MM);
  }
}
