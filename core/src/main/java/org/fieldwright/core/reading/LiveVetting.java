package org.fieldwright.core.reading;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.AngularSupport;
import org.jspecify.annotations.Nullable;

/**
 * Vetting while a turning array is being read: give it each setting as it comes, and it says at
 * once what to read again before the array moves on.
 *
 * <pre>{@code
 * LiveVetting vetting = new LiveVetting(array, plannedAnglesDeg);
 * LiveFindings findings = vetting.add(readingsOfOneSetting);
 * }</pre>
 *
 * <p>A place that is read again while its reading or its angle is under suspicion takes the new
 * reading instead; otherwise the second reading tells the drift. To undo a setting, start anew and
 * add the others again: a complete survey takes some tens of milliseconds. The last word is that of
 * {@link Vetting}, which sees the complete turn, chooses the degree and weighs each reading; this
 * one gives all the same weight.
 *
 * <p>Not thread-safe.
 */
public final class LiveVetting {
  /**
   * Degrees beyond what the complete plan determines, held by the prior alone: a field a little
   * richer than the plan resolves is not taken for a fault.
   */
  private static final int BEYOND = 2;

  private final ProbeArray array;
  private final List<Double> angles = new ArrayList<>();
  private final int planned;
  private final Map<Integer, Integer> probeIndex = new LinkedHashMap<>();
  private final List<Integer> probeIds = new ArrayList<>();
  private final Map<List<Integer>, Place> places = new LinkedHashMap<>();
  private @Nullable Fit fit;
  private double referenceField;
  private @Nullable Instant start; // null where the first setting carries no times
  private double clock;
  private int settings;

  private record Fit(LiveField field, LiveFaults faults) {}

  /** A place with its row in the fit and what was read there; the first visit is the row's. */
  private record Place(int row, int angle, List<Visit> visits) {}

  /**
   * @param plannedAnglesDeg the settings that will be taken, degrees; others may come too
   */
  public LiveVetting(ProbeArray array, List<Double> plannedAnglesDeg) {
    this.array = array;
    AngularSupport support =
        AngularSupport.of(plannedAnglesDeg.stream().mapToDouble(a -> a).toArray());
    angles.addAll(support.distinct());
    planned = Math.max(1, angles.size());
    for (Probe p : array.probes()) {
      probeIndex.put(p.id(), probeIndex.size());
      probeIds.add(p.id());
    }
  }

  /**
   * Takes the readings of one setting of the array.
   *
   * @param setting one reading per probe, each with probe, angle and a row of its own; a probe that
   *     did not lock may be missing or hold no value
   * @throws IllegalArgumentException for a reading of a probe that the array does not have
   */
  public LiveFindings add(List<Reading> setting) {
    settings++;
    List<VettedSurvey.SetAside> unusable = new ArrayList<>();
    List<Reading> valid = new ArrayList<>();
    for (Reading r : setting) {
      VettedSurvey.Why why = Intake.whyNot(r, array, Set.of());
      if (why == null) {
        valid.add(r);
      } else {
        unusable.add(new VettedSurvey.SetAside(r, why, null));
      }
    }
    if (fit == null && valid.size() > 1) {
      fit = begin(valid);
    }
    if (fit != null && !valid.isEmpty()) {
      take(fit.field(), valid);
    }
    DriftFit drift = driftFit();
    if (fit != null) {
      fit.field().giveSlope(drift == null ? null : drift.slope());
      fit.faults().judge();
    }
    return findings(unusable, drift);
  }

  private Fit begin(List<Reading> first) {
    double[] fields = first.stream().mapToDouble(Intake::fieldOf).toArray();
    referenceField = DriftFit.median(fields);
    start = first.get(0).time();
    double[] apart = first.stream().mapToDouble(r -> Math.abs(ppm(r))).toArray();
    double spread = Math.max(1, 1.4826 * DriftFit.median(apart));
    int readings = array.probes().size() * planned;
    List<Vec3> positions =
        array.probes().stream().map(p -> Vec3.spherical(p.radius(), p.polar(), 0)).toList();
    AngularSupport support = AngularSupport.of(angles.stream().mapToDouble(a -> a).toArray());
    int degree = DegreeChoice.supported(readings, support, positions) + BEYOND;
    double radius = first.stream().mapToDouble(r -> r.position().norm()).max().orElse(1);
    LiveField field = new LiveField(degree, radius, spread, array.uncertainty().readingPpm());
    int looks = Math.max(20, readings) * planned;
    return new Fit(field, new LiveFaults(field, array.uncertainty(), looks));
  }

  private double ppm(Reading r) {
    return (Intake.fieldOf(r) / referenceField - 1) * 1e6 - Intake.offset(r, array);
  }

  private void take(LiveField into, List<Reading> valid) {
    Set<Integer> retaken = new HashSet<>();
    List<LiveField.Row> fresh = new ArrayList<>();
    for (Reading r : valid) {
      clock = clockOf(r);
      Visit visit = new Visit(r, clock, ppm(r));
      Integer probe = probeIndex.get(Places.probeOf(r));
      if (probe == null) {
        throw new IllegalArgumentException("the array has no probe " + r.probe());
      }
      int angle = Places.isOnAxis(r.position()) ? -1 : angleIndex(Places.angleOf(r));
      Place known = places.get(List.of(probe, angle));
      if (known == null) {
        Place place = new Place(places.size(), angle, new ArrayList<>(List.of(visit)));
        places.put(List.of(probe, angle), place);
        fresh.add(new LiveField.Row(r.position(), probe, angle, visit.ppm(), clock));
      } else if (into.isSuspicious(known.row()) || into.isAngleWrong(angle)) {
        known.visits().clear();
        known.visits().add(visit);
        into.replace(known.row(), visit.ppm(), clock);
        retaken.add(angle);
      } else {
        known.visits().add(visit);
      }
    }
    retaken.forEach(into::clearAngle);
    into.add(fresh);
  }

  private double clockOf(Reading r) {
    if (start == null) {
      return settings;
    }
    return r.time() == null
        ? clock
        : Duration.between(start, r.time()).toNanos() / Intake.NANOSECONDS_PER_HOUR;
  }

  private int angleIndex(double angleDeg) {
    for (int a = 0; a < angles.size(); a++) {
      if (Math.abs(Math.IEEEremainder(angleDeg - angles.get(a), 360))
          <= AngularSupport.SAME_ANGLE_DEG) {
        return a;
      }
    }
    angles.add(angleDeg);
    return angles.size() - 1;
  }

  private @Nullable DriftFit driftFit() {
    List<DriftFit.Visits> revisited = new ArrayList<>();
    for (Place place : places.values()) {
      if (place.visits().size() < 2) {
        continue;
      }
      double[] times = place.visits().stream().mapToDouble(Visit::clock).toArray();
      double[] values = place.visits().stream().mapToDouble(Visit::ppm).toArray();
      DriftFit.Visits v = new DriftFit.Visits(times, values);
      if (v.clockSquare() > 0) {
        revisited.add(v);
      }
    }
    return DriftFit.of(revisited, array.uncertainty().readingPpm());
  }

  private LiveFindings findings(List<VettedSurvey.SetAside> unusable, @Nullable DriftFit known) {
    LiveField now = fit == null || !fit.faults().judges() ? null : fit.field();
    if (now == null) {
      return new LiveFindings(unusable, List.of(), List.of(), List.of(), drift(known, null), null);
    }
    List<VettedSurvey.SuspectAngle> wrong = new ArrayList<>();
    List<VettedSurvey.SuspectProbe> off = new ArrayList<>();
    for (int k = 0; k < now.freed().size(); k++) {
      LiveField.Group g = now.freed().get(k);
      double[] size = now.size(k);
      if (g.probe() >= 0) {
        off.add(new VettedSurvey.SuspectProbe(probeIds.get(g.probe()), size[0], size[1]));
      } else {
        wrong.add(
            new VettedSurvey.SuspectAngle(
                angles.get(g.angle()), Math.toDegrees(size[0]), Math.toDegrees(size[1])));
      }
    }
    return new LiveFindings(
        unusable, suspicious(now, known), wrong, off, drift(known, now), now.scatterPpm());
  }

  private List<LiveFindings.Suspicious> suspicious(LiveField now, @Nullable DriftFit known) {
    List<LiveFindings.Suspicious> list = new ArrayList<>();
    double spread = known == null ? 0 : known.spread();
    double apart = Math.max(now.scatterPpm() * Math.sqrt(2), spread);
    double slope = known == null ? 0 : known.slope();
    for (Place place : places.values()) {
      Visit main = place.visits().get(0);
      if (now.isSuspicious(place.row())) {
        double[] d = now.difference(place.row());
        list.add(new LiveFindings.Suspicious(main.reading(), d[0], d[1]));
        continue;
      }
      for (Visit v : place.visits()) {
        double change = v.corrected(slope, main.clock()) - main.ppm();
        if (Math.abs(change) > VettingVerdicts.FAR_OFF * apart) {
          list.add(new LiveFindings.Suspicious(v.reading(), change, apart));
        }
      }
    }
    return list;
  }

  private VettedSurvey.@Nullable Drift drift(@Nullable DriftFit known, @Nullable LiveField now) {
    boolean timed = start != null;
    if (known != null) {
      double u = known.slopeUncertainty();
      return new VettedSurvey.Drift(
          timed ? known.slope() : null,
          timed && !Double.isNaN(u) ? u : null,
          known.spread(),
          known.pairs());
    }
    double[] fitted = now == null ? new double[] {Double.NaN, Double.NaN} : now.driftPpm();
    return !timed || Double.isNaN(fitted[0])
        ? null
        : new VettedSurvey.Drift(fitted[0], fitted[1], 0, 0);
  }
}
