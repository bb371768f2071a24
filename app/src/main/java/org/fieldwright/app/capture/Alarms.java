package org.fieldwright.app.capture;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import org.fieldwright.core.homogeneity.Limit;
import org.fieldwright.core.stability.Estimate;
import org.jspecify.annotations.Nullable;

/** Says once when something leaves its limit, and once when it is back. */
final class Alarms {
  /** Back is back by this part of the limit, so that noise at the limit does not ring on and on. */
  private static final double BACK = 0.9;

  private static final double COVERAGE = 2; // standard uncertainties: about 95 %

  /** What an alarm begins with. */
  static final String ALARM = "ALARM: ";

  private final @Nullable Double limitPpm;
  private final @Nullable Double targetMHz;
  private final List<Limit> drifts;
  private final Map<String, String> ringing = new LinkedHashMap<>(); // words by what rings
  private Set<Integer> silent = Set.of(); // probes
  private double side;

  /**
   * @param limits those on drift are watched over, others passed over
   */
  Alarms(@Nullable Double limitPpm, @Nullable Double targetMHz, List<Limit> limits) {
    this.limitPpm = limitPpm;
    this.targetMHz = targetMHz;
    this.drifts = limits.stream().filter(l -> l.measure() == Limit.Measure.DRIFT).toList();
  }

  /** What a round of readings is to be told of; unlocked are the probes that did not lock. */
  List<String> after(@Nullable Double ppm, @Nullable Double meanMHz, Set<Integer> unlocked) {
    List<String> said = new ArrayList<>();
    for (Integer probe : unlocked) {
      if (!silent.contains(probe)) {
        said.add(ALARM + "probe %d does not lock.".formatted(probe));
      }
    }
    for (Integer probe : silent) {
      if (!unlocked.contains(probe)) {
        said.add("Probe %d locks again.".formatted(probe));
      }
    }
    silent = new TreeSet<>(unlocked);
    if (limitPpm != null && ppm != null) {
      double size = Math.abs(ppm);
      ring("field", size > limitPpm, size < BACK * limitPpm, said, words(ppm, limitPpm));
    }
    if (targetMHz != null && meanMHz != null) {
      double now = Math.signum(meanMHz - targetMHz);
      if (side != 0 && now != side) {
        said.add(text("The target of %s MHz is reached.", targetMHz));
      }
      side = now;
    }
    return said;
  }

  private static String words(double ppm, double limit) {
    return text("the field is %+.3f ppm from its first reading; the limit is %s ppm.", ppm, limit);
  }

  /** What the drift is to be told of. */
  List<String> after(@Nullable Estimate drift) {
    List<String> said = new ArrayList<>();
    if (drift == null) {
      return said;
    }
    for (Limit limit : drifts) {
      double size = Math.abs(drift.value());
      ring(
          "drift " + limit.id(),
          size - COVERAGE * drift.uncertainty() > limit.limit(),
          size < BACK * limit.limit(),
          said,
          text(
              "drift of %s ppm/h; the limit \"%s\" is %s ppm/h.",
              Figures.uncertain(drift, 1), limit.id(), limit.limit()));
    }
    return said;
  }

  /** What is beyond its limit now, in words; probes without a lock are not among it. */
  List<String> standing() {
    return List.copyOf(ringing.values());
  }

  private void ring(String key, boolean beyond, boolean within, List<String> said, String words) {
    boolean rang = ringing.containsKey(key);
    if (rang && within) {
      ringing.remove(key);
      said.add("Back within the limit: " + words);
    } else if (rang || beyond) {
      ringing.put(key, words);
      if (!rang) {
        said.add(ALARM + words);
      }
    }
  }

  private static String text(String format, Object... values) {
    return String.format(Locale.ROOT, format, values);
  }
}
