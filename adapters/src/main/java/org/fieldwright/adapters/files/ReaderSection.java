package org.fieldwright.adapters.files;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.fieldwright.adapters.yaml.Expected;
import org.fieldwright.adapters.yaml.YamlMap;
import org.fieldwright.adapters.yaml.YamlNode;
import org.fieldwright.core.magnet.Magnet;
import org.fieldwright.core.reading.ProbeArray;
import org.fieldwright.core.reading.ProbeArray.Range;
import org.fieldwright.core.simulation.ReaderConditions;
import org.fieldwright.core.simulation.ReaderConditions.Ramp;
import org.fieldwright.core.simulation.ReaderConditions.Sticking;
import org.fieldwright.core.simulation.Scenario.PlannedSurvey;
import org.jspecify.annotations.Nullable;

/** {@code reader} of a scenario: how its simulated reader behaves. */
final class ReaderSection {
  /** Half the width of the range where the magnet file states none, relative. */
  private static final double DEFAULT_HALF_RANGE = 0.05;

  private static final Expected RATE = Expected.within(0, 0.9);
  private static final int MOST_READINGS = 1_000_000;

  private final ProbeArray array;

  private ReaderSection(ProbeArray array) {
    this.array = array;
  }

  /** Null where no survey is planned whose conditions could apply. */
  static @Nullable ReaderConditions read(
      @Nullable YamlNode node, Magnet magnet, List<PlannedSurvey> surveys) {
    if (surveys.isEmpty()) {
      if (node != null) {
        throw node.complain("surveys in the scenario, whose conditions the reader works under");
      }
      return null;
    }
    ProbeArray array = magnet.array();
    Range whole = array.rangeMHz();
    if (whole == null) {
      double centre = magnet.nominalField() * array.gammaMHzPerT();
      whole = new Range(centre * (1 - DEFAULT_HALF_RANGE), centre * (1 + DEFAULT_HALF_RANGE));
    }
    if (node == null) {
      return new ReaderConditions(
          surveys.get(0).conditions(), whole, 0, Set.of(), List.of(), 0, 0, 0, 0, null);
    }
    return new ReaderSection(array).read(node, whole, surveys);
  }

  private ReaderConditions read(YamlNode node, Range whole, List<PlannedSurvey> surveys) {
    YamlMap map =
        node.map(
            "survey",
            "search_s_per_MHz",
            "dead_probes",
            "sticking_probes",
            "cut_rate",
            "garbled_rate",
            "late_rate",
            "late_s",
            "ramp");
    Set<Integer> dead = new HashSet<>();
    for (YamlNode item : items(map.get("dead_probes"))) {
      dead.add(probe(item));
    }
    List<Sticking> sticking = new ArrayList<>();
    for (YamlNode item : items(map.get("sticking_probes"))) {
      YamlMap each = item.map("probe", "after_readings");
      sticking.add(
          new Sticking(
              probe(each.require("probe")),
              each.require("after_readings").integer(1, MOST_READINGS)));
    }
    return new ReaderConditions(
        survey(map.get("survey"), surveys).conditions(),
        whole,
        map.numberOr("search_s_per_MHz", Expected.NOT_NEGATIVE, 0),
        dead,
        sticking,
        map.numberOr("cut_rate", RATE, 0),
        map.numberOr("garbled_rate", RATE, 0),
        map.numberOr("late_rate", RATE, 0),
        map.numberOr("late_s", Expected.NOT_NEGATIVE, 10),
        ramp(map.get("ramp")));
  }

  private static @Nullable Ramp ramp(@Nullable YamlNode node) {
    if (node == null) {
      return null;
    }
    YamlMap map = node.map("from_A", "to_A", "minutes");
    return new Ramp(
        map.require("from_A").number(Expected.POSITIVE),
        map.require("to_A").number(Expected.POSITIVE),
        map.require("minutes").number(Expected.POSITIVE));
  }

  private static List<YamlNode> items(@Nullable YamlNode node) {
    return node == null ? List.of() : node.list();
  }

  private static PlannedSurvey survey(@Nullable YamlNode node, List<PlannedSurvey> surveys) {
    if (node == null) {
      return surveys.get(0);
    }
    String file = node.oneOf(surveys.stream().map(PlannedSurvey::file).toList());
    return surveys.stream().filter(s -> s.file().equals(file)).findFirst().orElseThrow();
  }

  private int probe(YamlNode node) {
    int id = node.integer(Integer.MIN_VALUE, Integer.MAX_VALUE);
    if (array.probe(id) == null) {
      throw node.complain("the id of a probe of the magnet file");
    }
    return id;
  }
}
