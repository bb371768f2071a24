package org.fieldwright.core.reading;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.fieldwright.core.reading.LiveFindings.OffReading;
import org.fieldwright.core.reading.LiveFindings.Rate;
import org.fieldwright.core.reading.VettedSurvey.SuspectAngle;
import org.fieldwright.core.reading.VettedSurvey.SuspectProbe;
import org.jspecify.annotations.Nullable;

/**
 * Tells, while an array is turned, which of its readings are wrong: from the first setting on, and
 * nothing that cannot be known yet.
 *
 * <p>After every setting the field, the offsets of the probes and the drift have a posterior from
 * all readings so far ({@link TurnPosterior}); how large the terms of each degree may be is learnt
 * on the way ({@link FieldSpectrum}). Every reading, every setting's angle and every probe's offset
 * is scored against what everything else makes of it ({@link TurnScores}). What stands out is taken
 * up ({@link TurnSearch}): left out, freed or loosened, so that it does not make others look wrong;
 * and given up when it no longer stands out. Because what is not known yet is part of every score,
 * little stands out at first, and a fault that shows only later is found then.
 *
 * <p>A fault that was taken up is told only if it also stands out where the field may be much
 * richer than it has shown, if no other setting's angle would explain it, if the rest agrees with
 * what is stated, and, where it concerns an earlier setting, if the next setting still says so. The
 * method and how well it does: docs/method/live.md.
 *
 * <p>Not thread-safe.
 */
public final class LiveVetting {
  private static final int DEGREE = 12;

  /** Standard deviations at which a fault is told. */
  private static final double TOLD = 5;

  /** ... even if the variance of the field's terms were larger by this factor. */
  private static final double RICHER = 16;

  /** ... and by this one where degrees above the highest matter: such fields have peaks. */
  private static final double PEAKED = 64;

  /** Part of the reading noise's variance at which they do. */
  private static final double MATTERS = 0.05;

  /** 2 ln of the odds against another setting's angle. */
  private static final double DECISIVE = 12;

  /** A shared fault must exceed what is stated for its kind by this factor. */
  private static final double BEYOND_STATED = 4;

  /** Nothing is told while the rest misses what is stated by more, root mean square. */
  private static final double FITS = 1.3;

  /** Of the slopes that tell an angle, relative. */
  private static final double SLOPES_KNOWN = 0.2;

  /** Two settings are too few for a probe that is off at every angle. */
  private static final int LEAST_OF_PROBE = 3;

  private static final int FIRST_PASSES = 6;

  /** Up to so many settings the spectrum is learnt after each, then after every fourth. */
  private static final int OFTEN = 8;

  private static final int SELDOM = 4;

  /** Standard uncertainties where nothing is stated. */
  private static final double UNSTATED_READING_PPM = 0.05;

  private static final double UNSTATED_POSITION = 1e-4;
  private static final double UNSTATED_ANGLE = 1e-3;
  private static final double UNSTATED_OFFSET_PPM = 1;

  private final ProbeArray array;
  private final TurnReadings readings;
  private final TurnFaults faults;
  private final FieldSpectrum spectrum = new FieldSpectrum(DEGREE);
  private final TurnPosterior posterior;
  private final TurnPosterior richer;
  private final TurnScores scores;
  private final TurnScores richerScores;
  private final TurnSearch search;
  private final Set<Integer> told = new HashSet<>();
  private Set<Integer> clearBefore = Set.of(); // but for a second look
  private Set<Integer> clear = Set.of();
  private TurnPosterior.Noise noise;
  private boolean richerIsNew;

  public LiveVetting(ProbeArray array) {
    this.array = array;
    readings = new TurnReadings(array);
    faults = new TurnFaults(array.probes().size());
    double reference = array.probes().stream().mapToDouble(Probe::radius).max().orElse(1);
    TurnColumns columns = new TurnColumns(array.probes(), DEGREE, reference);
    posterior = new TurnPosterior(columns);
    richer = new TurnPosterior(columns);
    scores = new TurnScores(array, readings, faults, posterior);
    richerScores = new TurnScores(array, readings, faults, richer);
    noise = noise();
    search = new TurnSearch(readings, faults, spectrum, posterior, scores, noise);
  }

  private TurnPosterior.Noise noise() {
    ProbeArray.Uncertainty u = array.uncertainty();
    Double reading = u.readingPpm();
    double own = reading != null && reading > 0 ? reading : readings.statedScatterPpm();
    return new TurnPosterior.Noise(
        own > 0 ? own : UNSTATED_READING_PPM,
        stated(u.position(), UNSTATED_POSITION),
        stated(u.angle(), UNSTATED_ANGLE),
        stated(u.normalisationPpm(), UNSTATED_OFFSET_PPM));
  }

  private static double stated(@Nullable Double given, double otherwise) {
    return given == null ? otherwise : given;
  }

  /** Takes the readings of one more setting of the array. */
  public LiveFindings after(List<Reading> setting) {
    readings.add(setting);
    int settings = Math.max(1, readings.settings());
    return vet(settings == 1, FIRST_PASSES / settings);
  }

  /**
   * Begins anew.
   *
   * @param settings readings of one setting each, in the order they were taken
   */
  public LiveFindings anew(List<List<Reading>> settings) {
    readings.clear();
    faults.clear();
    told.clear();
    clear = Set.of();
    settings.forEach(readings::add);
    return vet(true, FIRST_PASSES);
  }

  /**
   * Vets what there is.
   *
   * @param first whether nothing of the field is known
   * @param passes that its spectrum is learnt in
   */
  private LiveFindings vet(boolean first, int passes) {
    if (readings.settings() == 0) {
      return new LiveFindings(List.of(), List.of(), List.of(), null);
    }
    faults.grow(readings.settings());
    if (first) {
      noise = noise();
      search.noise(noise);
      spectrum.begin(Math.max(noise.readingPpm(), readings.spreadPpm()));
    }
    search.solve();
    for (int i = 1; i < passes; i++) {
      learn();
      search.solve();
    }
    search.run();
    richerIsNew = false;
    LiveFindings findings = findings();
    if (readings.settings() <= OFTEN || readings.settings() % SELDOM == 0) {
      learn();
    }
    return findings;
  }

  private void learn() {
    posterior.study();
    spectrum.update(posterior.squares(), posterior.known(), noise.readingPpm());
  }

  private LiveFindings findings() {
    clearBefore = clear;
    clear = new HashSet<>();
    told.removeIf(key -> !isTakenUp(key));
    List<SuspectAngle> angles = new ArrayList<>();
    List<OffReading> off = new ArrayList<>();
    for (int k = 0; k < readings.settings(); k++) {
      if (faults.frees(k) && tells(k, -1)) {
        scores.freed(k);
        angles.add(
            new SuspectAngle(
                readings.angleDeg(k), Math.toDegrees(scores.value), Math.toDegrees(uncertainty())));
      }
      for (int p = 0; p < readings.probes(); p++) {
        if (faults.excludes(k, p) && tells(k, p)) {
          scores.excluded(k, p);
          off.add(
              new OffReading(readings.angleDeg(k), readings.id(p), scores.value, uncertainty()));
        }
      }
    }
    return new LiveFindings(angles, off, offProbes(), drift());
  }

  private double uncertainty() {
    return Math.max(1, search.misfit()) * Math.sqrt(scores.variance);
  }

  private List<SuspectProbe> offProbes() {
    List<SuspectProbe> off = new ArrayList<>();
    for (int p = 0; p < readings.probes(); p++) {
      if (faults.loosens(p) && readings.settings() >= LEAST_OF_PROBE && tells(-1, p)) {
        scores.offset(p);
        off.add(new SuspectProbe(readings.id(p), scores.value, uncertainty()));
      }
    }
    return off;
  }

  /** The drift, once something was read twice or it stands out however rich the field is. */
  private @Nullable Rate drift() {
    scores.drift();
    boolean stands = readings.revisited() || (scores.score() > TOLD && outlasts());
    return stands && search.misfit() < FITS ? new Rate(scores.value, uncertainty()) : null;
  }

  private boolean outlasts() {
    makeRicher();
    richerScores.drift();
    return richerScores.score() > TOLD;
  }

  /**
   * Whether a fault that was taken up is told. One of an earlier setting is told when the next
   * setting still says so: a setting that stands elsewhere makes those before it look wrong first.
   */
  private boolean tells(int k, int p) {
    int key = (k + 1) * (readings.probes() + 1) + p + 1;
    if (told.contains(key)) {
      return true;
    }
    if (!isClear(k, p)) {
      return false;
    }
    clear.add(key);
    return (k == readings.settings() - 1 || clearBefore.contains(key)) && told.add(key);
  }

  private boolean isTakenUp(int key) {
    int k = key / (readings.probes() + 1) - 1;
    int p = key % (readings.probes() + 1) - 1;
    return k < 0 ? faults.loosens(p) : p < 0 ? faults.frees(k) : faults.excludes(k, p);
  }

  private boolean isClear(int k, int p) {
    if (search.misfit() > FITS) {
      return false;
    }
    double company = k < 0 ? 1 : scores.company(k, p, search.spare());
    if (stand(scores, k, p) < TOLD * company) {
      return false;
    }
    double stated = k < 0 ? posterior.offsetStated(p) : p < 0 ? noise.angle() : 0;
    if (Math.abs(scores.value) < BEYOND_STATED * stated
        || (p < 0 && scores.slopeUncertainty(k) > SLOPES_KNOWN)) {
      return false;
    }
    makeRicher();
    if (stand(richerScores, k, p) < TOLD * company) {
      return false;
    }
    return k < 0
        || Math.min(scores.againstOtherAngles(k, p), richerScores.againstOtherAngles(k, p))
            > DECISIVE * company * company;
  }

  private void makeRicher() {
    if (!richerIsNew) {
      double least = MATTERS * noise.readingPpm() * noise.readingPpm();
      double factor = spectrum.above(DEGREE, 1) > least ? PEAKED : RICHER;
      richer.update(readings, faults, spectrum, noise, factor, posterior);
      richerScores.refresh(noise);
      richerIsNew = true;
    }
  }

  private static double stand(TurnScores by, int k, int p) {
    if (k < 0) {
      by.offset(p);
    } else if (p < 0) {
      by.freed(k);
    } else {
      by.excluded(k, p);
    }
    return by.score();
  }
}
