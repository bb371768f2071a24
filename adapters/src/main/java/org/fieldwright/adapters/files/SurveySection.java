package org.fieldwright.adapters.files;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import org.fieldwright.adapters.text.Timestamp;
import org.fieldwright.adapters.yaml.Expected;
import org.fieldwright.adapters.yaml.YamlMap;
import org.fieldwright.adapters.yaml.YamlNode;
import org.fieldwright.core.reading.ProbeArray;
import org.fieldwright.core.simulation.Fault;
import org.fieldwright.core.simulation.Scenario.PlannedSurvey;
import org.fieldwright.core.simulation.SurveyConditions;
import org.jspecify.annotations.Nullable;

/** {@code surveys} and {@code next_survey} of a scenario. */
final class SurveySection {
  private static final int MOST_ANGLES = 10_000;
  private static final int MOST_AVERAGES = 10_000;
  private static final Expected ANGLE = Expected.within(-360, 360);

  private final ProbeArray array;

  SurveySection(ProbeArray array) {
    this.array = array;
  }

  List<PlannedSurvey> readAll(@Nullable YamlNode node) {
    List<PlannedSurvey> surveys = new ArrayList<>();
    for (YamlNode item : node == null ? List.<YamlNode>of() : node.list()) {
      surveys.add(read(item));
    }
    return surveys;
  }

  PlannedSurvey read(YamlNode node) {
    YamlMap map =
        node.map(
            "file",
            "start",
            "angles",
            "revisit_deg",
            "seconds_per_reading",
            "seconds_per_angle",
            "averages",
            "noise_ppm",
            "angle_error_deg",
            "drift_ppm_per_hour",
            "wander_ppm",
            "faults");
    if (array.probes().isEmpty()) {
      throw node.complain("no survey, because the magnet file describes no probes");
    }
    List<Double> angles = angles(map.require("angles"));
    SurveyConditions conditions =
        new SurveyConditions(
            start(map.require("start")),
            angles,
            revisits(map.get("revisit_deg"), angles),
            map.numberOr("seconds_per_reading", Expected.NOT_NEGATIVE, 0),
            map.numberOr("seconds_per_angle", Expected.NOT_NEGATIVE, 60),
            map.has("averages") ? map.require("averages").integer(1, MOST_AVERAGES) : 1,
            map.numberOr("noise_ppm", Expected.NOT_NEGATIVE, 0),
            map.numberOr("angle_error_deg", Expected.NOT_NEGATIVE, 0),
            map.numberOr("drift_ppm_per_hour", Expected.NUMBER, 0),
            map.numberOr("wander_ppm", Expected.NOT_NEGATIVE, 0),
            faults(map.get("faults"), angles));
    return new PlannedSurvey(fileName(map.require("file")), conditions);
  }

  /** A name without folders, so that everything lands in the folder that was asked for. */
  static String fileName(YamlNode node) {
    String name = node.text();
    if (!name.endsWith(".csv") || !name.matches("[A-Za-z0-9][A-Za-z0-9._ -]*")) {
      throw node.complain("a plain file name that ends in .csv");
    }
    return name;
  }

  static Instant start(YamlNode node) {
    Timestamp time = new Timestamp();
    String wrong = time.read(node.text());
    if (wrong != null) {
      throw node.complain(wrong);
    }
    return time.instant();
  }

  /** A count of equal angles from 0°, or the angles themselves. */
  private static List<Double> angles(YamlNode node) {
    if (!node.isList()) {
      return SurveyConditions.equalAngles(node.integer(1, MOST_ANGLES));
    }
    return angleList(node);
  }

  private static List<Double> angleList(YamlNode node) {
    List<Double> angles = new ArrayList<>();
    for (YamlNode item : node.list()) {
      angles.add(item.number(ANGLE));
    }
    return angles;
  }

  private static List<Double> revisits(@Nullable YamlNode node, List<Double> angles) {
    if (node == null) {
      return List.of();
    }
    List<Double> revisits = angleList(node);
    for (YamlNode item : node.list()) {
      requireVisited(item, item.number(ANGLE), angles);
    }
    return revisits;
  }

  private static void requireVisited(YamlNode node, double angle, List<Double> angles) {
    if (!angles.contains(angle)) {
      throw node.complain("one of the angles that are visited");
    }
  }

  private List<Fault> faults(@Nullable YamlNode node, List<Double> angles) {
    if (node == null) {
      return List.of();
    }
    YamlMap map =
        node.map("no_lock", "outliers", "wrong_frequencies", "probe_offsets", "wrong_angles");
    List<Fault> faults = new ArrayList<>();
    for (YamlNode item : items(map.get("no_lock"))) {
      YamlMap f = item.map("probe", "angle_deg");
      faults.add(new Fault.NoLock(probe(f), angle(f, angles)));
    }
    for (YamlNode item : items(map.get("outliers"))) {
      YamlMap f = item.map("probe", "angle_deg", "ppm");
      double ppm = f.number("ppm", Expected.NOT_ZERO);
      faults.add(new Fault.Outlier(probe(f), angle(f, angles), ppm));
    }
    for (YamlNode item : items(map.get("wrong_frequencies"))) {
      YamlMap f = item.map("probe", "angle_deg", "frequency_MHz");
      double frequency = f.number("frequency_MHz", Expected.POSITIVE);
      faults.add(new Fault.WrongFrequency(probe(f), angle(f, angles), frequency));
    }
    for (YamlNode item : items(map.get("probe_offsets"))) {
      YamlMap f = item.map("probe", "ppm");
      faults.add(new Fault.ProbeOffset(probe(f), f.number("ppm", Expected.NOT_ZERO)));
    }
    for (YamlNode item : items(map.get("wrong_angles"))) {
      YamlMap f = item.map("angle_deg", "error_deg");
      faults.add(new Fault.WrongAngle(angle(f, angles), f.number("error_deg", Expected.NOT_ZERO)));
    }
    return faults;
  }

  private static List<YamlNode> items(@Nullable YamlNode node) {
    return node == null ? List.of() : node.list();
  }

  private int probe(YamlMap fault) {
    YamlNode node = fault.require("probe");
    int id = node.integer(Integer.MIN_VALUE, Integer.MAX_VALUE);
    if (array.probe(id) == null) {
      throw node.complain("the id of a probe of the magnet file");
    }
    return id;
  }

  private static double angle(YamlMap fault, List<Double> angles) {
    YamlNode node = fault.require("angle_deg");
    double angle = node.number(ANGLE);
    requireVisited(node, angle, angles);
    return angle;
  }
}
