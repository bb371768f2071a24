package org.fieldwright.core.reading;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;

/**
 * What the readings show of probes and reader without any model of the field: a probe that hardly
 * ever locks, a probe that sticks to one value, repeats that scatter unlike the rest, revisits that
 * scatter unlike what is stated.
 */
final class ProbeHabits {
  /** So many equal values in a row are no chance where others' values hardly ever repeat. */
  private static final int STUCK = 4;

  /** Largest share of equal neighbours that still counts as hardly ever. */
  private static final double RARELY = 0.02;

  /** A probe that locks at fewer of its angles than this is dead, if the others do not. */
  private static final double DEAD = 0.5;

  private static final double ALIVE = 0.8;

  /** Of three repeats or more: a good reading's spread exceeds this many medians once in 1e7. */
  private static final double WIDE = 5;

  /** Ratio of found to stated scatter from which one of the two is wrong. */
  private static final double APART = 3;

  /** Revisits it takes to know their scatter to about a quarter. */
  private static final int ENOUGH_REVISITS = 8;

  private static final int MOST_ROWS_NAMED = 5;

  private final Survey survey;
  private final Map<Integer, List<Reading>> byProbe = new TreeMap<>();

  private ProbeHabits(Survey survey) {
    this.survey = survey;
    List<Reading> ordered = new ArrayList<>(survey.readings());
    ordered.sort(Places.takingOrder(ordered));
    for (Reading r : ordered) {
      if (r.probe() != null) {
        byProbe.computeIfAbsent(r.probe(), k -> new ArrayList<>()).add(r);
      }
    }
  }

  /**
   * What stands out.
   *
   * @param drift of the survey; null where no place was read twice
   */
  static List<Finding> findings(Survey survey, ProbeArray array, @Nullable DriftFit drift) {
    ProbeHabits habits = new ProbeHabits(survey);
    List<Finding> findings = new ArrayList<>();
    habits.dead(findings);
    habits.stuck(findings);
    habits.wide(findings);
    if (drift != null && drift.pairs() >= ENOUGH_REVISITS) {
      habits.revisits(array, drift, findings);
    }
    return findings;
  }

  private static boolean locked(Reading r) {
    return r.field() != null && !Objects.equals(r.locked(), 0);
  }

  private void dead(List<Finding> findings) {
    long all = survey.readings().stream().filter(ProbeHabits::locked).count();
    byProbe.forEach(
        (probe, readings) -> {
          long own = readings.stream().filter(ProbeHabits::locked).count();
          long others = (long) survey.readings().size() - readings.size();
          if (own < DEAD * readings.size() && all - own > ALIVE * others) {
            findings.add(
                Finding.of(
                    Finding.What.DEAD_PROBE,
                    "Probe %d locked at %d of its %d readings; the others at %d of %d."
                        .formatted(probe, own, readings.size(), all - own, others),
                    odds((double) (readings.size() - own), others - all + own + 1.0, others + 2.0),
                    "Check its cable, sample and matching; the field near it rests on its neighbours."));
          }
        });
  }

  /** 2 ln of the odds of so many misses at another rate than that of the rest. */
  private static double odds(double misses, double missed, double of) {
    return -2 * misses * Math.log(missed / of);
  }

  private void stuck(List<Finding> findings) {
    int equal = 0;
    int pairs = 0;
    Map<Integer, List<Reading>> runs = new TreeMap<>();
    for (Map.Entry<Integer, List<Reading>> e : byProbe.entrySet()) {
      List<Reading> run = longestRun(e.getValue());
      if (run.size() >= STUCK) {
        runs.put(e.getKey(), run);
      } else {
        equal += equalNeighbours(e.getValue());
        pairs += e.getValue().size() - 1;
      }
    }
    double rate = (equal + 1.0) / (pairs + 2.0);
    if (rate > RARELY) {
      return; // a coarse reader, or an even field: equal values mean nothing
    }
    runs.forEach(
        (probe, run) ->
            findings.add(
                Finding.of(
                    Finding.What.STICKING_PROBE,
                    "Probe %d gave one and the same value %d times in a row at different angles (rows %d to %d)."
                        .formatted(
                            probe, run.size(), run.get(0).row(), run.get(run.size() - 1).row()),
                    -2 * (run.size() - 1) * Math.log(rate),
                    "Leave those rows out and read them again: the reader kept an old value.")));
  }

  private static boolean same(Reading a, Reading b) {
    return locked(a)
        && locked(b)
        && Objects.equals(a.field(), b.field())
        && !Objects.equals(a.angleDeg(), b.angleDeg());
  }

  private static int equalNeighbours(List<Reading> readings) {
    int equal = 0;
    for (int i = 1; i < readings.size(); i++) {
      equal += same(readings.get(i - 1), readings.get(i)) ? 1 : 0;
    }
    return equal;
  }

  private static List<Reading> longestRun(List<Reading> readings) {
    List<Reading> longest = List.of();
    int start = 0;
    for (int i = 0; i < readings.size(); i++) {
      start = i > 0 && same(readings.get(i - 1), readings.get(i)) ? start : i;
      if (i - start + 1 > longest.size()) {
        longest = readings.subList(start, i + 1);
      }
    }
    return longest;
  }

  private static int repeats(Reading r) {
    Integer count = r.locked() != null ? r.locked() : r.averages();
    return count == null ? 0 : count;
  }

  private void wide(List<Finding> findings) {
    List<Reading> repeated =
        survey.readings().stream()
            .filter(r -> locked(r) && r.sd() != null && repeats(r) >= 3)
            .toList();
    double median =
        DriftFit.median(
            repeated.stream().mapToDouble(r -> Objects.requireNonNull(r.sd())).toArray());
    List<Reading> wide =
        repeated.stream().filter(r -> Objects.requireNonNull(r.sd()) > WIDE * median).toList();
    if (wide.isEmpty() || !(median > 0)) {
      return;
    }
    double worst =
        wide.stream().mapToDouble(r -> Objects.requireNonNull(r.sd())).max().orElse(0) / median;
    String rows =
        String.join(
            ", ", wide.stream().limit(MOST_ROWS_NAMED).map(r -> String.valueOf(r.row())).toList());
    String more = wide.size() > MOST_ROWS_NAMED ? " and others" : "";
    findings.add(
        new Finding(
            Finding.What.WIDE_REPEATS,
            String.format(
                Locale.ROOT,
                "The repeats of %d readings (row %s%s) scatter up to %.0f times as much as is usual here.",
                wide.size(),
                rows,
                more,
                worst),
            worst * worst,
            worst,
            null,
            "times the median",
            "They weigh little in the fit; look for a lock that jumped between lines."));
  }

  /** What two visits of a place differ by, drift removed, against what is stated. */
  private void revisits(ProbeArray array, DriftFit drift, List<Finding> findings) {
    double found = drift.spread() / Math.sqrt(2);
    Double stated = statedPpm(array);
    if (stated == null || !(stated > 0) || found < APART * stated) {
      return;
    }
    double ratio = found / stated;
    findings.add(
        new Finding(
            Finding.What.REVISITS_APART,
            String.format(
                Locale.ROOT,
                "Second visits of a place differ from the first by %.3f ppm a reading, drift removed, %.1f times what is stated (%.3f ppm).",
                found,
                ratio,
                stated),
            drift.pairs() * (ratio * ratio - 1 - 2 * Math.log(ratio)),
            ratio,
            ratio / Math.sqrt(2.0 * drift.pairs()),
            "times the stated scatter",
            "The array did not come back to the same place, or the field wanders unlike a steady drift: read one angle twice without moving to tell which."));
  }

  /** The larger of what the readings and the magnet file state for one reading. */
  private @Nullable Double statedPpm(ProbeArray array) {
    List<Reading> with =
        survey.readings().stream().filter(r -> locked(r) && r.sd() != null).toList();
    double ofReadings =
        DriftFit.median(
            with.stream()
                .mapToDouble(
                    r ->
                        1e6
                            * Objects.requireNonNull(r.sd())
                            / Objects.requireNonNull(r.field())
                            / Math.sqrt(Math.max(1, repeats(r))))
                .toArray());
    Double ofArray = array.uncertainty().readingPpm();
    if (Double.isNaN(ofReadings)) {
      return ofArray;
    }
    return ofArray == null ? ofReadings : (Double) Math.max(ofReadings, ofArray);
  }
}
