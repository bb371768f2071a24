package org.fieldwright.core.reading;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.AngularSupport;
import org.jspecify.annotations.Nullable;

/**
 * The distinct places of a survey, each with the readings taken there in order. The same probe at
 * the same angle (modulo 360°), a probe on the axis at any angle, or a free point within 0.01 mm is
 * one place.
 */
final class Places {
  private static final double ON_AXIS_RAD = Math.toRadians(0.01);
  private static final double SAME_POINT = 1e-5; // m

  private final List<Place> places;
  private final @Nullable AngularSupport angles;
  private final List<Integer> probeIds;

  /**
   * One place.
   *
   * @param probe index into {@link #probeIds()}, or −1
   * @param angle index into the angles, or −1
   * @param visits in the order in which they were taken
   */
  record Place(Vec3 position, int probe, int angle, boolean onAxis, List<Reading> visits) {}

  private Places(List<Place> places, @Nullable AngularSupport angles, List<Integer> probeIds) {
    this.places = places;
    this.angles = angles;
    this.probeIds = probeIds;
  }

  static Places of(Survey survey) {
    List<Reading> ordered = new ArrayList<>(survey.readings());
    ordered.sort(takingOrder(ordered));
    return survey.kind() == Survey.Kind.TURNING_ARRAY ? turning(ordered) : free(ordered);
  }

  /** By turn where every reading has one, else by time where every reading has one, else by row. */
  static Comparator<Reading> takingOrder(List<Reading> readings) {
    boolean turns = true;
    boolean times = true;
    for (Reading r : readings) {
      turns &= r.turn() != null;
      times &= r.time() != null;
    }
    Comparator<Reading> byRow = Comparator.comparingInt(Reading::row);
    if (turns) {
      return Comparator.<Reading>comparingInt(r -> r.turn() == null ? 0 : r.turn())
          .thenComparing(byRow);
    }
    if (times) {
      return Comparator.comparing(Places::requireTime).thenComparing(byRow);
    }
    return byRow;
  }

  private static java.time.Instant requireTime(Reading r) {
    if (r.time() == null) {
      throw new IllegalStateException("row " + r.row() + " has no time");
    }
    return r.time();
  }

  private static Places turning(List<Reading> ordered) {
    double[] stated = new double[ordered.size()];
    for (int i = 0; i < stated.length; i++) {
      stated[i] = angleOf(ordered.get(i));
    }
    AngularSupport angles = AngularSupport.of(stated);
    Map<Integer, Integer> probeIndex = new LinkedHashMap<>();
    ordered.stream()
        .map(Places::probeOf)
        .distinct()
        .sorted()
        .forEach(id -> probeIndex.put(id, probeIndex.size()));
    Map<List<Integer>, Place> found = new LinkedHashMap<>();
    for (Reading r : ordered) {
      int probe = probeIndex.getOrDefault(probeOf(r), -1);
      int angle = angles.indexOf(angleOf(r));
      boolean onAxis = isOnAxis(r.position());
      found
          .computeIfAbsent(
              List.of(probe, onAxis ? -1 : angle),
              k -> new Place(r.position(), probe, angle, onAxis, new ArrayList<>()))
          .visits()
          .add(r);
    }
    return new Places(List.copyOf(found.values()), angles, List.copyOf(probeIndex.keySet()));
  }

  /** Whether turning the array leaves a probe here where it is. */
  static boolean isOnAxis(Vec3 position) {
    return Math.sin(position.polar()) < Math.sin(ON_AXIS_RAD);
  }

  private static Places free(List<Reading> ordered) {
    Map<List<Long>, List<Place>> cells = new HashMap<>();
    List<Place> places = new ArrayList<>();
    for (Reading r : ordered) {
      Place known = nearby(cells, r.position());
      if (known == null) {
        known = new Place(r.position(), -1, -1, false, new ArrayList<>());
        places.add(known);
        cells.computeIfAbsent(cell(r.position(), 0, 0, 0), k -> new ArrayList<>()).add(known);
      }
      known.visits().add(r);
    }
    return new Places(List.copyOf(places), null, List.of());
  }

  private static @Nullable Place nearby(Map<List<Long>, List<Place>> cells, Vec3 p) {
    for (int i = -1; i <= 1; i++) {
      for (int j = -1; j <= 1; j++) {
        for (int k = -1; k <= 1; k++) {
          for (Place place : cells.getOrDefault(cell(p, i, j, k), List.of())) {
            if (place.position().minus(p).norm() <= SAME_POINT) {
              return place;
            }
          }
        }
      }
    }
    return null;
  }

  private static List<Long> cell(Vec3 p, int i, int j, int k) {
    return List.of(
        Math.round(p.x() / SAME_POINT) + i,
        Math.round(p.y() / SAME_POINT) + j,
        Math.round(p.z() / SAME_POINT) + k);
  }

  static double angleOf(Reading r) {
    if (r.angleDeg() == null) {
      throw new IllegalStateException("row " + r.row() + " of a turning survey has no angle");
    }
    return r.angleDeg();
  }

  static int probeOf(Reading r) {
    if (r.probe() == null) {
      throw new IllegalStateException("row " + r.row() + " of a turning survey has no probe");
    }
    return r.probe();
  }

  List<Place> places() {
    return places;
  }

  /** Null for free points. */
  @Nullable AngularSupport angles() {
    return angles;
  }

  /** Ids of the probes that took readings, ascending. */
  List<Integer> probeIds() {
    return probeIds;
  }
}
