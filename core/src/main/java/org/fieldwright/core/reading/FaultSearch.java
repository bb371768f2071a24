package org.fieldwright.core.reading;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import org.fieldwright.core.harmonic.DegreeLadder;
import org.fieldwright.core.harmonic.HarmonicDesign;
import org.fieldwright.core.harmonic.Sampling;
import org.fieldwright.core.harmonic.WorkingFit;
import org.fieldwright.core.uncertainty.Normal;
import org.jspecify.annotations.Nullable;

/**
 * Finds what is wrong with a survey: single bad readings, probes that read off as a whole, angles
 * that were not where the sheet says.
 *
 * <p>Each suspicion is a column that would explain the residuals if it were true: 1 on one row, 1
 * on a probe's rows, the field's slope along the turn on an angle's rows. Columns compete by their
 * standardised score; the strongest is taken up, the residuals are updated, and so on until none
 * stands out. At the end every one taken up is tested again beside the others and dropped if it no
 * longer stands out, so a good reading first blamed for its neighbour is restored. This is iterated
 * data snooping (Baarda 1968; detection, identification and adaptation, Teunissen 1990). For a
 * single reading the score is its standardised leave-one-out residual. The scatter is the
 * normalised median absolute deviation of those until the gross errors are gone, then the residual
 * standard deviation.
 */
final class FaultSearch {
  /** Expected number of good readings set aside per survey. */
  static final double FALSE_ALARMS = 0.03;

  /** A shared fault must stand out by this many standard deviations, Bonferroni for ~100 groups. */
  static final double GROUP_SCORE = 4.5;

  /** ... and exceed what is stated for it by this factor. */
  static final double BEYOND_STATED = 4;

  /** Least share of a group's column that must be left beside the field to judge it. */
  static final double TESTABLE = 0.02;

  /** A shared fault must show without this many of its readings. */
  static final int LOUDEST = 3;

  /** More faults than this share of readings, probes or angles means the model is wrong instead. */
  private static final double MOST_FAULTS = 0.25;

  /** A further probe must be off by at least this share of what the worst one is. */
  private static final double DWARFED = 0.33;

  private static final int MOST_PASSES = 6;

  private static final double LEAST_REDUNDANCY = 1e-4;

  private final HarmonicDesign design;
  private final int degree;
  private final double[] values;
  private final Set<Integer> asideFirst;
  private final Set<Integer> keep;
  private List<WorkingFit.Extra> judged = List.of();
  private final Tolerances tolerances;
  private final NuisanceColumns wanted;
  private final @Nullable SharedFault drift;
  private final double readingScore;
  private final ResidualScatter scatter;

  private WorkingFit fit;
  private List<SharedFault> groups = List.of();
  private boolean groupsTrusted = true;
  private List<WorkingFit.Watch> watches = List.of(); // of these groups in this fit
  private @Nullable WorkingFit watchedFit;
  private @Nullable List<SharedFault> watchedGroups;
  private double[] factor; // by which each row's company scatters more than the survey
  private final Map<Integer, Double> halfTurn = new HashMap<>();

  /**
   * What is stated, so that a fault means more than that; ppm, m, rad; 0 where nothing is stated.
   */
  record Tolerances(double readingPpm, double position, double angle, double normalisationPpm) {}

  /** A shared fault found; value and uncertainty in ppm (probe) or radians (angle). */
  record Found(Object fault, double value, double uncertainty) {}

  FaultSearch(
      HarmonicDesign design,
      int degree,
      double[] values,
      Set<Integer> asideFirst,
      Set<Integer> keep,
      Tolerances tolerances,
      NuisanceColumns wanted,
      double[] hours) {
    this.design = design;
    this.degree = degree;
    this.values = values;
    this.asideFirst = asideFirst;
    this.keep = keep;
    this.tolerances = tolerances;
    this.wanted = wanted;
    drift = wanted.drift(design.sampling(), hours);
    readingScore = Normal.quantile(1 - FALSE_ALARMS / (2.0 * Math.max(20, values.length)));
    scatter = new ResidualScatter(tolerances.readingPpm());
    fit = start(List.of());
    factor = LocalScatter.none(fit);
  }

  /**
   * The fit with every fault taken up. What a person keeps is judged like the rest while faults are
   * sought, or its error would be blamed on its neighbours, and put back at the end.
   */
  WorkingFit run() {
    search();
    judged = fit.extras();
    List<WorkingFit.Extra> without =
        judged.stream()
            .filter(e -> !(e instanceof WorkingFit.Extra.SetAside a && keep.contains(a.row())))
            .toList();
    if (without.size() < judged.size()) {
      fit = start(without);
    }
    return fit;
  }

  private void search() {
    if (fit.degreesOfFreedom() < 3) {
      return;
    }
    groups = groups();
    fit = wanted.isEmpty() ? fit : start(List.of());
    forward();
    sharpen();
    if (groupsTrusted && groupsFound() > MOST_FAULTS * Math.max(8, groups.size() / 2)) {
      groupsTrusted = false; // so many at once are the field's higher terms, not the array's faults
      fit = start(List.of());
      factor = LocalScatter.none(fit);
      forward();
      sharpen();
    }
  }

  /**
   * Tests what was taken up again, with the slopes of the field now that gross errors are out of
   * it, until nothing changes.
   */
  private void sharpen() {
    for (int pass = 0; pass < MOST_PASSES; pass++) {
      if (groupsFound() > 0 || !wanted.isEmpty() || pass == 0) {
        noteTurns();
        groups = groups();
        fit = start(fit.extras());
      }
      factor = LocalScatter.factors(fit, asideFirst, allowances());
      boolean changed = restoreInnocent();
      changed |= shareBlame();
      changed |= moveBlame();
      int before = fit.extras().size();
      forward();
      if (!changed && fit.extras().size() == before) {
        return;
      }
    }
  }

  /** Half of each angle's error found so far: where its slope speaks for the whole step. */
  private void noteTurns() {
    for (SharedFault g : groups) {
      if (g.label() instanceof SharedFault.OfAngle fault && isFreed(g)) {
        halfTurn.put(fault.angle(), valueOf(fit, g) / 2);
      }
    }
  }

  /**
   * Where several readings of one probe or one angle are set aside, tries the shared fault instead:
   * it is the better explanation where it lowers Σ r²/σ² plus the price of each fault.
   */
  private boolean shareBlame() {
    boolean changed = false;
    for (SharedFault g : groupsTrusted ? groups : List.<SharedFault>of()) {
      List<WorkingFit.Extra> trial = new ArrayList<>();
      int own = 0;
      for (WorkingFit.Extra extra : fit.extras()) {
        Integer row = blamedRow(extra);
        boolean blamed = row != null && g.pattern()[row] != 0;
        own += blamed ? 1 : 0;
        if (!blamed) {
          trial.add(extra);
        }
      }
      if (own < LOUDEST || isFreed(g)) {
        continue;
      }
      trial.add(0, new WorkingFit.Extra.Nuisance(g.label()));
      WorkingFit shared = start(trial);
      double variance = Math.pow(scatter.plain(fit), 2);
      double explained =
          (shared.residualSumOfSquares() - fit.residualSumOfSquares()) / variance
              - SwapSearch.PRICE * (own - 1);
      double size = Math.abs(valueOf(shared, g));
      if (explained < 0 && size > BEYOND_STATED * g.stated() && !isDwarfed(g, size)) {
        fit = shared;
        changed = true;
      }
    }
    return changed;
  }

  private static double valueOf(WorkingFit shared, SharedFault g) {
    int k = place(shared, g);
    return k < 0 ? 0 : shared.solve().extra(k);
  }

  /** Which extra of a fit a shared fault is; −1 where it is not taken up. */
  private static int place(WorkingFit of, SharedFault g) {
    return of.extras().indexOf(new WorkingFit.Extra.Nuisance(g.label()));
  }

  private boolean moveBlame() {
    List<WorkingFit.Extra> shared =
        new ArrayList<>(
            fit.extras().stream().filter(e -> e instanceof WorkingFit.Extra.Nuisance).toList());
    Set<Integer> blamed = blamed();
    Set<Integer> better =
        new SwapSearch(start(shared), asideFirst, scatter.plain(fit), factor).improve(blamed);
    if (better == null) {
      return false;
    }
    better.forEach(row -> shared.add(new WorkingFit.Extra.SetAside(row)));
    fit = start(shared);
    return true;
  }

  private List<SharedFault> groups() {
    List<SharedFault> all =
        new ArrayList<>(
            SharedFault.all(design.sampling(), fit.solve().expansion(), halfTurn, tolerances));
    if (drift != null) {
      all.add(drift);
    }
    return all;
  }

  /** What each reading may be off by as stated, ppm. */
  private double[] allowances() {
    double[] misplaced =
        SharedFault.misplaced(design.sampling(), fit.solve().expansion(), tolerances);
    double reading = tolerances.readingPpm() > 0 ? tolerances.readingPpm() : scatter.plain(fit);
    for (int i = 0; i < misplaced.length; i++) {
      misplaced[i] = Math.hypot(misplaced[i], reading);
    }
    return misplaced;
  }

  private long groupsFound() {
    return fit.extras().stream()
        .filter(e -> e instanceof WorkingFit.Extra.Nuisance n && !wanted.isWanted(n.label()))
        .count();
  }

  /** The faults found, what is kept among them, taken up in a fit of another degree. */
  WorkingFit fitAt(int otherDegree) {
    return start(judged, otherDegree);
  }

  /** How well every degree up to the design's predicts, the same taken up. */
  List<DegreeLadder.Rung> ladder() {
    DegreeLadder ladder = new DegreeLadder(design, values);
    asideFirst.forEach(ladder::setAside);
    for (WorkingFit.Extra extra : judged) {
      Integer row = blamedRow(extra);
      if (row != null) {
        ladder.setAside(row);
      }
      groups.stream().filter(g -> frees(extra, g)).forEach(g -> ladder.free(g.pattern()));
    }
    return ladder.climb();
  }

  private static boolean frees(WorkingFit.Extra extra, SharedFault fault) {
    return extra instanceof WorkingFit.Extra.Nuisance n && n.label().equals(fault.label());
  }

  /** The fit of a degree without these rows, and without any fault taken up. */
  WorkingFit startWithout(Set<Integer> rows, int atDegree) {
    return start(
        rows.stream().map(row -> (WorkingFit.Extra) new WorkingFit.Extra.SetAside(row)).toList(),
        atDegree);
  }

  /** Rows that a first look would set aside, an eighth of all at most. */
  Set<Integer> loudest() {
    int most = values.length / 8;
    for (int taken = 0; taken < most && fit.degreesOfFreedom() > 2; taken++) {
      if (!takeStrongest(scatter.robust(fit))) {
        break;
      }
    }
    Set<Integer> rows = blamed();
    fit = start(List.of());
    return rows;
  }

  /** Rows set aside as bad readings. */
  private Set<Integer> blamed() {
    Set<Integer> rows = new TreeSet<>();
    for (WorkingFit.Extra extra : fit.extras()) {
      Integer row = blamedRow(extra);
      if (row != null) {
        rows.add(row);
      }
    }
    return rows;
  }

  /** The row that an extra sets aside as a bad reading; null where it does something else. */
  private @Nullable Integer blamedRow(WorkingFit.Extra extra) {
    return extra instanceof WorkingFit.Extra.SetAside aside && !asideFirst.contains(aside.row())
        ? (Integer) aside.row()
        : null;
  }

  /** Whether a fit leaves no more than three times what the readings are stated to scatter. */
  boolean isQuiet(WorkingFit other) {
    double seen = Math.sqrt(other.residualSumOfSquares() / Math.max(1, other.degreesOfFreedom()));
    return seen < 3 * tolerances.readingPpm();
  }

  Sampling sampling() {
    return design.sampling();
  }

  int degree() {
    return degree;
  }

  private WorkingFit start(List<WorkingFit.Extra> kept) {
    return start(kept, degree);
  }

  private WorkingFit start(List<WorkingFit.Extra> kept, int atDegree) {
    WorkingFit fresh = new WorkingFit(design, atDegree, values);
    asideFirst.forEach(fresh::setAside);
    groups.stream()
        .filter(g -> wanted.isWanted(g.label()))
        .forEach(g -> fresh.free(g.pattern(), g.label()));
    for (WorkingFit.Extra extra : kept) {
      Integer row = blamedRow(extra);
      if (row != null) {
        fresh.setAside(row);
      }
      groups.stream()
          .filter(g -> frees(extra, g) && !wanted.isWanted(g.label()))
          .forEach(g -> fresh.free(g.pattern(), g.label()));
    }
    return fresh;
  }

  private void forward() {
    int most = (int) (MOST_FAULTS * values.length);
    boolean gross = true;
    for (int taken = 0; taken < most && fit.degreesOfFreedom() > 2; ) {
      if (takeStrongest(gross ? scatter.robust(fit) : scatter.plain(fit))) {
        taken++;
      } else if (gross) {
        gross = false;
      } else {
        return;
      }
    }
  }

  private boolean takeStrongest(double sigma) {
    int row = -1;
    double best = readingScore * sigma;
    for (int i = 0; i < fit.rows(); i++) {
      double redundancy = fit.redundancy(i);
      if (fit.isSetAside(i) || redundancy < LEAST_REDUNDANCY) {
        continue;
      }
      double score = Math.abs(fit.residual(i)) / Math.sqrt(redundancy) / factor[i];
      if (score > best) {
        best = score;
        row = i;
      }
    }
    SharedFault group = groupsTrusted ? strongestGroup(Math.max(best, GROUP_SCORE * sigma)) : null;
    if (group != null) {
      return fit.free(group.pattern(), group.label());
    }
    return row >= 0 && fit.setAside(row);
  }

  private @Nullable SharedFault strongestGroup(double toBeat) {
    if (watchedFit != fit || watchedGroups != groups) {
      WorkingFit now = fit;
      watches = groups.stream().map(g -> now.new Watch(g.pattern())).toList();
      watchedFit = fit;
      watchedGroups = groups;
    }
    SharedFault strongest = null;
    double best = toBeat;
    for (int k = 0; k < watches.size(); k++) {
      SharedFault g = groups.get(k);
      WorkingFit.Score score = watches.get(k).score();
      if (score.left() < TESTABLE * score.square() || score.square() == 0) {
        continue;
      }
      double z = Math.abs(score.along()) / Math.sqrt(score.left());
      double size = Math.abs(score.along() / score.left());
      if (z > best
          && size > BEYOND_STATED * g.stated()
          && !isFreed(g)
          && isShared(g)
          && !isDwarfed(g, size)) {
        best = z;
        strongest = g;
      }
    }
    return strongest;
  }

  /** Whether the fault shows without the few readings that speak loudest for it. */
  private boolean isShared(SharedFault g) {
    List<double[]> contributions = new ArrayList<>();
    for (int i = 0; i < fit.rows(); i++) {
      if (g.pattern()[i] != 0 && !fit.isSetAside(i)) {
        contributions.add(new double[] {g.pattern()[i], fit.residual(i)});
      }
    }
    return SharedFault.isShared(contributions);
  }

  /**
   * Whether a probe is off by little beside one already found: what a field richer than the model
   * leaves of the large offset looks like small ones elsewhere.
   */
  private boolean isDwarfed(SharedFault g, double size) {
    return g.label() instanceof SharedFault.OfProbe
        && groups.stream()
            .filter(other -> other.label() instanceof SharedFault.OfProbe)
            .anyMatch(other -> size < DWARFED * Math.abs(valueOf(fit, other)));
  }

  private boolean isFreed(SharedFault g) {
    return place(fit, g) >= 0;
  }

  /** Drops what no longer stands out beside the rest; whether anything was dropped. */
  private boolean restoreInnocent() {
    WorkingFit.Solution solution = fit.solve();
    double sigma = scatter.plain(fit);
    List<WorkingFit.Extra> kept = new ArrayList<>();
    List<WorkingFit.Extra> extras = fit.extras();
    for (int k = 0; k < extras.size(); k++) {
      WorkingFit.Extra extra = extras.get(k);
      double z = Math.abs(solution.extra(k)) / (solution.extraUncertainty(k) * sigma);
      WorkingFit.Extra.SetAside single = extra instanceof WorkingFit.Extra.SetAside a ? a : null;
      boolean given =
          single != null
              ? asideFirst.contains(single.row())
              : extra instanceof WorkingFit.Extra.Nuisance n && wanted.isWanted(n.label());
      double needed = single != null ? readingScore * factor[single.row()] : GROUP_SCORE;
      if (given || z > needed) {
        kept.add(extra);
      }
    }
    boolean dropped = kept.size() < extras.size();
    if (dropped) {
      fit = start(kept);
    }
    return dropped;
  }

  /** Standard deviation of the scatter the search ended with, ppm. */
  double scatter() {
    return scatter.plain(fit);
  }

  /** Refuses what is wanted beside the field and cannot be told from it. */
  void requireWanted() {
    if (!wanted.isEmpty()) {
      wanted.requireTold(fit, groups);
    }
  }

  /** Shared faults in the fit, with what they amount to. */
  List<Found> found() {
    WorkingFit.Solution solution = fit.solve();
    List<Found> found = new ArrayList<>();
    List<WorkingFit.Extra> extras = fit.extras();
    double sigma = scatter.plain(fit);
    for (int k = 0; k < extras.size(); k++) {
      for (SharedFault g : groups) {
        if (frees(extras.get(k), g)) {
          found.add(new Found(g.label(), solution.extra(k), solution.extraUncertainty(k) * sigma));
        }
      }
    }
    return found;
  }
}
