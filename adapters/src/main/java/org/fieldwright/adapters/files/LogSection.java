package org.fieldwright.adapters.files;

import java.util.ArrayList;
import java.util.List;
import org.fieldwright.adapters.yaml.Expected;
import org.fieldwright.adapters.yaml.YamlMap;
import org.fieldwright.adapters.yaml.YamlNode;
import org.fieldwright.core.simulation.LogConditions;
import org.fieldwright.core.simulation.Scenario.PlannedLog;
import org.jspecify.annotations.Nullable;

/** {@code logs} of a scenario. */
final class LogSection {
  private static final double MOST_SAMPLES = 2e6;
  private static final double SECONDS_PER_HOUR = 3600;

  private LogSection() {}

  static List<PlannedLog> readAll(@Nullable YamlNode node) {
    List<PlannedLog> logs = new ArrayList<>();
    for (YamlNode item : node == null ? List.<YamlNode>of() : node.list()) {
      logs.add(read(item));
    }
    return logs;
  }

  private static PlannedLog read(YamlNode node) {
    YamlMap map =
        node.map(
            "file",
            "start",
            "hours",
            "interval_s",
            "noise_ppm",
            "drift_ppm_per_hour",
            "wander_ppm",
            "settling",
            "room",
            "gaps",
            "steps");
    double hours = map.number("hours", Expected.POSITIVE);
    double interval = map.number("interval_s", Expected.POSITIVE);
    if (hours * SECONDS_PER_HOUR / interval > MOST_SAMPLES) {
      throw map.require("interval_s").complain("at most 2,000,000 samples in a log");
    }
    LogConditions conditions =
        new LogConditions(
            SurveySection.start(map.require("start")),
            hours,
            interval,
            map.numberOr("noise_ppm", Expected.NOT_NEGATIVE, 0),
            map.numberOr("drift_ppm_per_hour", Expected.NUMBER, 0),
            map.numberOr("wander_ppm", Expected.NOT_NEGATIVE, 0),
            settling(map.get("settling")),
            room(map.get("room")),
            gaps(map.get("gaps")),
            steps(map.get("steps")));
    return new PlannedLog(SurveySection.fileName(map.require("file")), conditions);
  }

  private static LogConditions.@Nullable Settling settling(@Nullable YamlNode node) {
    if (node == null) {
      return null;
    }
    YamlMap map = node.map("amplitude_ppm", "time_constant_hours");
    return new LogConditions.Settling(
        map.number("amplitude_ppm", Expected.NUMBER),
        map.number("time_constant_hours", Expected.POSITIVE));
  }

  private static LogConditions.@Nullable Room room(@Nullable YamlNode node) {
    if (node == null) {
      return null;
    }
    YamlMap map = node.map("mean_C", "swing_K", "ppm_per_K");
    return new LogConditions.Room(
        map.number("mean_C", Expected.NUMBER),
        map.number("swing_K", Expected.NOT_NEGATIVE),
        map.number("ppm_per_K", Expected.NUMBER));
  }

  private static List<LogConditions.Gap> gaps(@Nullable YamlNode node) {
    List<LogConditions.Gap> gaps = new ArrayList<>();
    for (YamlNode item : node == null ? List.<YamlNode>of() : node.list()) {
      YamlMap map = item.map("at_hours", "hours");
      // The first sample stays: a log starts when it starts.
      gaps.add(
          new LogConditions.Gap(
              map.number("at_hours", Expected.POSITIVE), map.number("hours", Expected.POSITIVE)));
    }
    return gaps;
  }

  private static List<LogConditions.Step> steps(@Nullable YamlNode node) {
    List<LogConditions.Step> steps = new ArrayList<>();
    for (YamlNode item : node == null ? List.<YamlNode>of() : node.list()) {
      YamlMap map = item.map("at_hours", "ppm");
      steps.add(
          new LogConditions.Step(
              map.number("at_hours", Expected.NOT_NEGATIVE), map.number("ppm", Expected.NOT_ZERO)));
    }
    return steps;
  }
}
