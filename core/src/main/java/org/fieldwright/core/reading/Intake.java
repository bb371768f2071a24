package org.fieldwright.core.reading;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.reading.VettedSurvey.SetAside;
import org.fieldwright.core.reading.VettedSurvey.Why;
import org.jspecify.annotations.Nullable;

/**
 * The survey sorted into places and valid visits: everything that can be judged from a reading
 * alone, before any fit.
 */
final class Intake {
  static final double NANOSECONDS_PER_HOUR = 3.6e12;

  private final Places places;
  private final List<List<Visit>> visits; // of each place, in order
  private final List<SetAside> setAside;
  private final double referenceField;
  private final boolean timed;

  private Intake(
      Places places,
      List<List<Visit>> visits,
      List<SetAside> setAside,
      double referenceField,
      boolean timed) {
    this.places = places;
    this.visits = visits;
    this.setAside = setAside;
    this.referenceField = referenceField;
    this.timed = timed;
  }

  static Intake of(Survey survey, ProbeArray array, Set<Integer> excluded) {
    Places places = Places.of(survey);
    List<SetAside> aside = new ArrayList<>();
    List<Reading> valid = new ArrayList<>();
    for (Reading r : survey.readings()) {
      Why why = whyNot(r, array, excluded);
      if (why == null) {
        valid.add(r);
      } else {
        aside.add(new SetAside(r, why, null));
      }
    }
    if (valid.size() < 4) {
      throw new BadInput(
          survey.file()
              + ": "
              + valid.size()
              + " of "
              + survey.readings().size()
              + " readings hold a usable value; degree 1 needs at least 4 places");
    }
    double reference = DriftFit.median(valid.stream().mapToDouble(Intake::fieldOf).toArray());
    boolean timed = valid.stream().allMatch(r -> r.time() != null);
    Map<Integer, Double> clock = timed ? hours(valid) : steps(valid);
    Set<Integer> usable = new java.util.HashSet<>();
    valid.forEach(r -> usable.add(r.row()));
    List<List<Visit>> visits = new ArrayList<>();
    for (Places.Place place : places.places()) {
      List<Visit> here = new ArrayList<>();
      for (Reading r : place.visits()) {
        if (usable.contains(r.row())) {
          double ppm = (fieldOf(r) / reference - 1) * 1e6 - offset(r, array);
          here.add(new Visit(r, clock.getOrDefault(r.row(), 0.0), ppm));
        }
      }
      visits.add(here);
    }
    return new Intake(places, visits, aside, reference, timed);
  }

  static @Nullable Why whyNot(Reading r, ProbeArray array, Set<Integer> excluded) {
    if (r.field() == null || (r.locked() != null && r.locked() == 0)) {
      return Why.NO_LOCK;
    }
    if (excluded.contains(r.row())) {
      return Why.EXCLUDED;
    }
    ProbeArray.Range range = array.rangeMHz();
    double frequency = r.field() * array.gammaMHzPerT();
    boolean outside = range != null && (frequency < range.low() || frequency > range.high());
    return outside ? Why.OUT_OF_RANGE : null;
  }

  static double fieldOf(Reading r) {
    if (r.field() == null) {
      throw new IllegalStateException("row " + r.row() + " holds no value");
    }
    return r.field();
  }

  static double offset(Reading r, ProbeArray array) {
    Probe probe = r.probe() == null ? null : array.probe(r.probe());
    return probe == null ? 0 : probe.offsetPpm();
  }

  private static Map<Integer, Double> hours(List<Reading> valid) {
    Map<Integer, Double> clock = new HashMap<>();
    Instant start =
        valid.stream()
            .map(Reading::time)
            .filter(t -> t != null)
            .min(Instant::compareTo)
            .orElse(Instant.EPOCH);
    for (Reading r : valid) {
      Instant time = r.time() == null ? start : r.time();
      clock.put(r.row(), Duration.between(start, time).toNanos() / NANOSECONDS_PER_HOUR);
    }
    return clock;
  }

  /**
   * Without times, one step of the clock per setting of the array (per reading for free points).
   */
  private static Map<Integer, Double> steps(List<Reading> valid) {
    List<Reading> ordered = new ArrayList<>(valid);
    ordered.sort(Places.takingOrder(ordered));
    Map<Integer, Double> clock = new HashMap<>();
    double step = 0;
    Double angle = null;
    for (Reading r : ordered) {
      if (angle == null || r.angleDeg() == null || !angle.equals(r.angleDeg())) {
        step++;
      }
      angle = r.angleDeg();
      clock.put(r.row(), step);
    }
    return clock;
  }

  Places places() {
    return places;
  }

  /** The valid visits of each place, in order; empty where nothing locked. */
  List<List<Visit>> visits() {
    return visits;
  }

  List<SetAside> setAside() {
    return setAside;
  }

  /** T; the ppm of the visits refer to it. */
  double referenceField() {
    return referenceField;
  }

  /** Whether the clock counts hours. */
  boolean timed() {
    return timed;
  }

  /** The places that were read more than once at different times. */
  List<DriftFit.Visits> revisited() {
    List<DriftFit.Visits> revisited = new ArrayList<>();
    for (List<Visit> here : visits) {
      double[] clock = here.stream().mapToDouble(Visit::clock).toArray();
      double[] value = here.stream().mapToDouble(Visit::ppm).toArray();
      DriftFit.Visits v = new DriftFit.Visits(clock, value);
      if (here.size() > 1 && v.clockSquare() > 0) {
        revisited.add(v);
      }
    }
    return revisited;
  }
}
