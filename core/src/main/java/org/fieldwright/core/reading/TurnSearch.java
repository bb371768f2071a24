package org.fieldwright.core.reading;

/**
 * Takes up what stands out of the readings of a turn, and gives up what no longer does: readings
 * are left out, angles freed, offsets loosened.
 */
final class TurnSearch {
  /** Standard deviations at which a fault is taken up, and below which it is given up. */
  private static final double FOUND = 5;

  private static final double DROPPED = 4;

  /** A setting is not looked for farther off, rad. */
  private static final double FARTHEST = 0.5;

  /** Faults taken up after one setting, at most. */
  private static final int ROUNDS = 4;

  /** Readings and angles that are quiet beside the rest are not scored. */
  private static final double READING_STIRS = 2.5;

  private static final double ANGLE_STIRS = 1.5;

  /** So many bad readings of a probe, and more than half of all, are its offset. */
  private static final int MANY = 3;

  /** A freed setting is read at its new place when that moved by so much of its uncertainty. */
  private static final double MOVED = 0.1;

  private static final double LEAST_SPARE = 0.1;

  private final TurnReadings readings;
  private final TurnFaults faults;
  private final FieldSpectrum spectrum;
  private final TurnPosterior posterior;
  private final TurnScores scores;
  private TurnPosterior.Noise noise;
  private double misfit;
  private double spare;
  private double best; // score of what stands out most
  private int setting;
  private int probe;
  private double shift;

  TurnSearch(
      TurnReadings readings,
      TurnFaults faults,
      FieldSpectrum spectrum,
      TurnPosterior posterior,
      TurnScores scores,
      TurnPosterior.Noise noise) {
    this.readings = readings;
    this.faults = faults;
    this.spectrum = spectrum;
    this.posterior = posterior;
    this.scores = scores;
    this.noise = noise;
  }

  /** Standard uncertainties from here on. */
  void noise(TurnPosterior.Noise now) {
    noise = now;
  }

  /** How much more than stated the readings that are used miss the field, root mean square. */
  double misfit() {
    return misfit;
  }

  /** Part of a reading's variance that the fit leaves. */
  double spare() {
    return spare;
  }

  /** Brings the posterior up to date with readings and faults. */
  void solve() {
    posterior.update(readings, faults, spectrum, noise, 1, posterior);
    scores.refresh(noise);
    double sum = 0;
    int count = 0;
    for (int k = 0; k < readings.settings(); k++) {
      sum += posterior.misfit(readings, faults, k);
      for (int p = 0; p < readings.probes(); p++) {
        count += used(k, p) ? 1 : 0;
      }
    }
    double determined = 1 + readings.probes();
    for (double v : posterior.known()) {
      determined += v;
    }
    spare = Math.max(LEAST_SPARE, (count - determined) / count);
    misfit = Math.sqrt(sum / count / spare);
  }

  private boolean used(int k, int p) {
    return readings.has(k, p) && !faults.excludes(k, p);
  }

  /** Takes up and gives up until nothing stands out, or for as long as one setting may take. */
  void run() {
    for (int round = 0; round < ROUNDS && takeUp(); round++) {
      solve();
      settle();
      if (giveUp()) {
        solve();
      }
    }
    boolean gathered = gather();
    if (giveUp() || gathered) {
      solve();
    }
  }

  /** A freed setting is read where it seems to stand. */
  private void settle() {
    boolean moved = false;
    for (int k = 0; k < readings.settings(); k++) {
      if (faults.frees(k)) {
        scores.freed(k);
        moved |= Math.abs(scores.value - faults.shift(k)) > MOVED * Math.sqrt(scores.variance);
        faults.free(k, within(scores.value));
      }
    }
    if (moved) {
      solve();
    }
  }

  private static double within(double shift) {
    return Math.max(-FARTHEST, Math.min(FARTHEST, shift));
  }

  /** Takes up the fault that stands out most; false if none does. */
  private boolean takeUp() {
    best = FOUND;
    setting = -1;
    probe = -1;
    for (int k = 0; k < readings.settings(); k++) {
      if (!faults.frees(k) && scores.angleStirs(k, ANGLE_STIRS) && scores.angle(k)) {
        offer(k, -1);
      }
      for (int p = 0; p < readings.probes(); p++) {
        double quiet = Math.max(READING_STIRS, best / 3);
        if (used(k, p) && scores.readingStirs(k, p, quiet) && scores.reading(k, p)) {
          offer(k, p);
        }
      }
    }
    // At the first setting an offset is a reading that is off.
    for (int p = 0; p < readings.probes() && readings.settings() > 1; p++) {
      if (!faults.loosens(p) && posterior.offsetStirs(p) && scores.offset(p)) {
        offer(-1, p);
      }
    }
    if (setting >= 0 && probe >= 0) {
      faults.exclude(setting, probe, true);
    } else if (setting >= 0) {
      faults.free(setting, within(shift));
    } else if (probe >= 0) {
      loosen(probe);
    }
    return setting >= 0 || probe >= 0;
  }

  private void offer(int ofSetting, int ofProbe) {
    double score = scores.score();
    if (score > best) {
      best = score;
      setting = ofSetting;
      probe = ofProbe;
      shift = scores.value;
    }
  }

  private void loosen(int p) {
    faults.loosen(p, true);
    for (int k = 0; k < readings.settings(); k++) {
      faults.exclude(k, p, false);
    }
  }

  /** Makes many bad readings of one probe its offset; whether there was such a probe. */
  private boolean gather() {
    boolean any = false;
    for (int p = 0; p < readings.probes(); p++) {
      int bad = 0;
      int all = 0;
      for (int k = 0; k < readings.settings(); k++) {
        all += readings.has(k, p) ? 1 : 0;
        bad += readings.has(k, p) && faults.excludes(k, p) ? 1 : 0;
      }
      if (bad >= MANY && 2 * bad > all) {
        loosen(p);
        any = true;
      }
    }
    return any;
  }

  /** Gives up what does not stand out any more; whether there was any. */
  private boolean giveUp() {
    boolean any = false;
    for (int k = 0; k < readings.settings(); k++) {
      if (faults.frees(k)) {
        scores.freed(k);
        if (scores.score() < DROPPED) {
          faults.believe(k);
          any = true;
        }
      }
    }
    for (int p = 0; p < readings.probes(); p++) {
      if (faults.loosens(p)) {
        scores.offset(p);
        if (scores.score() < DROPPED) {
          faults.loosen(p, false);
          any = true;
        }
      }
      any |= restore(p);
    }
    return any;
  }

  private boolean restore(int p) {
    boolean any = false;
    for (int k = 0; k < readings.settings(); k++) {
      if (faults.excludes(k, p)) {
        scores.excluded(k, p);
        if (scores.score() < DROPPED) {
          faults.exclude(k, p, false);
          any = true;
        }
      }
    }
    return any;
  }
}
