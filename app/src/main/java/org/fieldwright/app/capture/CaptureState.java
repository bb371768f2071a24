package org.fieldwright.app.capture;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import org.fieldwright.app.capture.CaptureEvent.Begun;
import org.fieldwright.app.capture.CaptureEvent.Taken;
import org.fieldwright.app.capture.CaptureEvent.VisitBegun;
import org.fieldwright.app.capture.CaptureEvent.VisitDone;
import org.fieldwright.app.capture.CaptureEvent.WindowSet;
import org.fieldwright.app.capture.CaptureEvent.Withdrawn;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.reading.Probe;
import org.fieldwright.core.reading.ProbeArray;
import org.fieldwright.core.reading.Reading;
import org.jspecify.annotations.Nullable;

/** Where a capture stands, as its events tell it. */
final class CaptureState {
  private final Map<Integer, Visit> visits = new LinkedHashMap<>();
  private final Map<Integer, Visit> byStep = new HashMap<>(); // a step has one visit at a time
  private @Nullable Begun begun;
  private @Nullable WindowSet window;
  private int highest;
  private Instant latest = Instant.MIN;

  /** One time at an angle. */
  static final class Visit {
    private final int number;
    private final int step;
    private final Map<Integer, Taken> taken = new LinkedHashMap<>();
    private boolean done;

    private Visit(int number, int step) {
      this.number = number;
      this.step = step;
    }

    int number() {
      return number;
    }

    int step() {
      return step;
    }

    /** By probe, in the order of reading. */
    Map<Integer, Taken> taken() {
      return taken;
    }

    boolean done() {
      return done;
    }
  }

  void apply(CaptureEvent event) {
    if (event instanceof Begun e) {
      begun = e;
    } else if (event instanceof WindowSet e) {
      window = e;
    } else if (event instanceof VisitBegun e) {
      highest = Math.max(highest, e.visit());
      Visit visit = new Visit(e.visit(), e.step());
      visits.put(e.visit(), visit);
      byStep.put(e.step(), visit);
    } else if (event instanceof Taken e) {
      latest = e.time().isAfter(latest) ? e.time() : latest;
      Visit visit = visits.get(e.visit());
      if (visit != null) {
        visit.taken.remove(e.probe()); // its place is where it was read last
        visit.taken.put(e.probe(), e);
      }
    } else if (event instanceof VisitDone e) {
      Visit visit = visits.remove(e.visit()); // its place is where it was finished
      if (visit != null) {
        visit.done = true;
        visits.put(e.visit(), visit);
      }
    } else if (event instanceof Withdrawn e) {
      Visit gone = visits.remove(e.visit());
      if (gone != null) {
        byStep.remove(gone.step(), gone);
      }
    }
  }

  @Nullable Begun begun() {
    return begun;
  }

  @Nullable WindowSet window() {
    return window;
  }

  /** The number of the next visit; that of one withdrawn is not used again. */
  int nextNumber() {
    return highest + 1;
  }

  /** When the last reading was taken. */
  Instant latest() {
    return latest;
  }

  /** The visit of a step, whole or not; null if there is none. */
  @Nullable Visit visitOf(int step) {
    return byStep.get(step);
  }

  /** The visit begun last; null if there is none. */
  @Nullable Visit last() {
    Visit last = null;
    for (Visit visit : visits.values()) {
      last = visit;
    }
    return last;
  }

  /** The first step that is not done; the number of steps if all are. */
  int nextStep(int steps) {
    for (int step = 0; step < steps; step++) {
      Visit visit = visitOf(step);
      if (visit == null || !visit.done()) {
        return step;
      }
    }
    return steps;
  }

  /**
   * Time from one visit to the next, the median, so that pauses do not count; null before the third
   * visit.
   */
  @Nullable Duration perVisit() {
    List<Instant> ends = new ArrayList<>();
    for (Visit visit : visits.values()) {
      visit.taken.values().stream()
          .map(Taken::time)
          .max(Comparator.naturalOrder())
          .filter(t -> visit.done)
          .ifPresent(ends::add);
    }
    ends.sort(null);
    List<Duration> steps = new ArrayList<>();
    for (int i = 1; i < ends.size(); i++) {
      steps.add(Duration.between(ends.get(i - 1), ends.get(i)));
    }
    steps.sort(null);
    return steps.size() < 2 ? null : steps.get(steps.size() / 2);
  }

  /** Probes that did not lock in a visit. */
  static List<Integer> silent(Visit visit) {
    return visit.taken.values().stream().filter(t -> t.field() == null).map(Taken::probe).toList();
  }

  /**
   * The probe whose field changed most from angle to angle; before there are two, the one nearest
   * to the equator.
   */
  int restless(ProbeArray array) {
    int best = array.probes().get(0).id();
    double most = -1;
    for (Probe probe : array.probes()) {
      double[] fields =
          visits.values().stream()
              .map(v -> v.taken.get(probe.id()))
              .filter(t -> t != null && t.field() != null)
              .mapToDouble(t -> Objects.requireNonNull(t.field()))
              .sorted()
              .toArray();
      double shows =
          fields.length < 2
              ? 1e-12 * Math.sin(probe.polar())
              : fields[fields.length - 1] / fields[0] - 1;
      if (shows > most) {
        most = shows;
        best = probe.id();
      }
    }
    return best;
  }

  int doneCount() {
    return (int) visits.values().stream().filter(Visit::done).count();
  }

  /**
   * Readings of each visit that is done, in the order of reading.
   *
   * @param firstRow of the file they are going to stand in
   */
  List<List<Reading>> settings(CapturePlan plan, ProbeArray array, int firstRow) {
    List<List<Reading>> settings = new ArrayList<>();
    int count = 0;
    for (Visit visit : visits.values()) {
      if (visit.done()) {
        List<Reading> setting = new ArrayList<>();
        for (Taken t : visit.taken().values()) {
          Probe probe = array.probe(t.probe());
          if (probe != null) {
            double angle = plan.angleDeg(visit.step());
            setting.add(reading(firstRow + count, ++count, probe, angle, t));
          }
        }
        settings.add(setting);
      }
    }
    return settings;
  }

  private static Reading reading(int row, int turn, Probe probe, double angleDeg, Taken t) {
    return new Reading(
        row,
        probe.id(),
        angleDeg,
        Vec3.spherical(probe.radius(), probe.polar(), Math.toRadians(angleDeg)),
        t.field(),
        t.sd(),
        t.averages(),
        t.locked(),
        t.time(),
        turn);
  }
}
