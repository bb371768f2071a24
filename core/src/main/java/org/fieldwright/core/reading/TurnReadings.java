package org.fieldwright.core.reading;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.jspecify.annotations.Nullable;

/** Readings of an array by setting and probe, in flat arrays. */
final class TurnReadings {
  private static final double SAME_DEG = 0.01;
  private static final double SECONDS_PER_HOUR = 3600;

  private final ProbeArray array;
  private final int probes;
  private final List<List<Reading>> settings = new ArrayList<>();
  private double reference; // T
  private @Nullable Instant start;
  private double[] ppm = new double[0];
  private double[] hours = new double[0];

  TurnReadings(ProbeArray array) {
    this.array = array;
    this.probes = array.probes().size();
  }

  /** Adds the readings of one setting; one of which nothing locked is not kept. */
  void add(List<Reading> setting) {
    double[] fields =
        setting.stream()
            .filter(r -> r.field() != null)
            .mapToDouble(TurnReadings::field)
            .sorted()
            .toArray();
    if (fields.length == 0 || setting.get(0).angleDeg() == null) {
      return;
    }
    if (settings.isEmpty()) {
      reference = fields[fields.length / 2];
      start = setting.get(0).time();
    }
    int from = settings.size() * probes;
    if (ppm.length < from + probes) {
      ppm = Arrays.copyOf(ppm, 2 * from + probes);
      hours = Arrays.copyOf(hours, 2 * from + probes);
    }
    Arrays.fill(ppm, from, from + probes, Double.NaN);
    settings.add(setting);
    for (int p = 0; p < probes; p++) {
      Probe probe = array.probes().get(p);
      for (Reading r : setting) {
        Integer id = r.probe();
        if (id != null && id == probe.id() && r.field() != null) {
          ppm[from + p] = (field(r) / reference - 1) * 1e6 - probe.offsetPpm();
          hours[from + p] = hours(r);
        }
      }
    }
  }

  void clear() {
    settings.clear();
  }

  private static double field(Reading r) {
    Double field = r.field();
    return field == null ? Double.NaN : field;
  }

  private double hours(Reading r) {
    Instant time = r.time();
    return time == null || start == null
        ? 0
        : (time.toEpochMilli() - start.toEpochMilli()) / (1000 * SECONDS_PER_HOUR);
  }

  int settings() {
    return settings.size();
  }

  int probes() {
    return probes;
  }

  /** Stated angle of a setting, degrees. */
  double angleDeg(int setting) {
    Double angle = settings.get(setting).get(0).angleDeg();
    return angle == null ? Double.NaN : angle;
  }

  int id(int probe) {
    return array.probes().get(probe).id();
  }

  /** Relative to the first setting's median, the stated offset of the probe removed; NaN = none. */
  double ppm(int setting, int probe) {
    return ppm[setting * probes + probe];
  }

  /** Since the first reading. */
  double hours(int setting, int probe) {
    return hours[setting * probes + probe];
  }

  /** Whether the array stood at an angle twice. */
  boolean revisited() {
    for (int k = 1; k < settings.size(); k++) {
      for (int l = 0; l < k; l++) {
        double apart = Math.abs(angleDeg(k) - angleDeg(l)) % 360;
        if (Math.min(apart, 360 - apart) < SAME_DEG) {
          return true;
        }
      }
    }
    return false;
  }

  /** Whether a probe locked at a setting. */
  boolean has(int setting, int probe) {
    return !Double.isNaN(ppm[setting * probes + probe]);
  }

  /** Standard deviation of the middle two thirds of the first setting, ppm. */
  double spreadPpm() {
    double[] first = Arrays.stream(ppm, 0, probes).filter(v -> !Double.isNaN(v)).sorted().toArray();
    return (first[first.length - 1 - first.length / 6] - first[first.length / 6]) / 2;
  }

  /** Root mean square of what the readings state of their own scatter, ppm; 0 if they do not. */
  double statedScatterPpm() {
    double sum = 0;
    int count = 0;
    for (List<Reading> setting : settings) {
      for (Reading r : setting) {
        double own = 1e6 * r.deviation() / reference;
        sum += own * own;
        count += own > 0 ? 1 : 0;
      }
    }
    return count == 0 ? 0 : Math.sqrt(sum / count);
  }
}
