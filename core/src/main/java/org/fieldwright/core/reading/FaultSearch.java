package org.fieldwright.core.reading;

import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import org.fieldwright.core.harmonic.DegreeLadder;
import org.fieldwright.core.harmonic.FitResiduals;
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
  static final double MOST_FAULTS = 0.25;

  static final int MOST_PASSES = 6;

  /** What stands out this much may be hidden by its like ... */
  static final double HIDDEN_SCORE = 3;

  /** ... where the readings scatter no more than this beyond what is stated: else it is places. */
  static final double HIDDEN_SCATTER = 1.5;

  static final double LEAST_REDUNDANCY = 1e-4;

  private final HarmonicDesign design;
  private final int degree;
  private final double[] values;
  private final Set<Integer> asideFirst;
  private final Set<Integer> keep;
  private List<WorkingFit.Extra> judged = List.of();
  private List<WorkingFit.Extra> taken = List.of(); // without what a person keeps
  private final Tolerances tolerances;
  private final NuisanceColumns wanted;
  private final SharedSuspects shared;
  private final double readingScore;
  private final ResidualScatter scatter;

  private WorkingFit fit;
  private boolean groupsTrusted = true;
  private double[] factor; // by which each row's company scatters more than the survey

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
    shared = new SharedSuspects(design.sampling(), hours, tolerances, wanted);
    readingScore = readingScore(values.length);
    scatter = new ResidualScatter(tolerances.readingPpm());
    fit = start(List.of());
    factor = LocalScatter.none(fit.rows());
  }

  /** Standard deviations by which one of so many readings must stand out to be blamed. */
  static double readingScore(int readings) {
    return Normal.quantile(1 - FALSE_ALARMS / (2.0 * Math.max(20, readings)));
  }

  /**
   * The fit with every fault taken up. What a person keeps is judged like the rest while faults are
   * sought, or its error would be blamed on its neighbours, and put back at the end.
   */
  WorkingFit run() {
    search();
    judged = fit.extras();
    taken =
        judged.stream()
            .filter(e -> !(e instanceof WorkingFit.Extra.SetAside a && keep.contains(a.row())))
            .toList();
    if (taken.size() < judged.size()) {
      fit = start(taken);
    }
    return fit;
  }

  private void search() {
    if (fit.degreesOfFreedom() < 3) {
      return;
    }
    shared.renew(fit);
    fit = wanted.isEmpty() ? fit : start(List.of());
    forward();
    sharpen();
    unmask();
    if (groupsTrusted && shared.found(fit) > MOST_FAULTS * Math.max(8, shared.all().size() / 2)) {
      groupsTrusted = false; // so many at once are the field's higher terms, not the array's faults
      fit = start(List.of());
      factor = LocalScatter.none(fit.rows());
      forward();
      sharpen();
      unmask();
    }
  }

  /**
   * Several bad readings that are left raise the scatter that each is held against, and none stands
   * out. So what nearly does is taken up as well, and must then stand out against what is left.
   */
  private void unmask() {
    if (scatter.plain(fit) > HIDDEN_SCATTER * tolerances.readingPpm()) {
      return;
    }
    WorkingFit before = fit;
    fit = start(before.extras());
    takeAll(HIDDEN_SCORE);
    if (fit.extras().size() > before.extras().size()) {
      sharpen();
    }
    double sigma = Math.min(scatter.plain(fit), scatter.plain(before));
    fit = cost(fit, sigma) < cost(before, sigma) ? fit : before;
  }

  private double cost(WorkingFit of, double sigma) {
    return cost(of, of.extras().size(), sigma, readingScore);
  }

  /** Σ r²/σ² and the price of so many faults taken up. */
  static double cost(FitResiduals fit, int faults, double sigma, double readingScore) {
    return fit.residualSumOfSquares() / (sigma * sigma) + readingScore * readingScore * faults;
  }

  /**
   * Tests what was taken up again, with the slopes of the field now that gross errors are out of
   * it, until nothing changes.
   */
  private void sharpen() {
    for (int pass = 0; pass < MOST_PASSES; pass++) {
      if (shared.found(fit) > 0 || !wanted.isEmpty() || pass == 0) {
        shared.renew(fit);
        fit = start(fit.extras());
      }
      factor = LocalScatter.factors(fit, design.sampling(), asideFirst, allowances());
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

  /**
   * Where several readings of one probe or one angle are set aside, tries the shared fault instead:
   * it is the better explanation where it lowers Σ r²/σ² plus the price of each fault.
   */
  private boolean shareBlame() {
    boolean changed = false;
    for (SharedFault g : groupsTrusted ? shared.all() : List.<SharedFault>of()) {
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
      if (own < LOUDEST || SharedSuspects.isFreed(fit, g)) {
        continue;
      }
      trial.add(0, new WorkingFit.Extra.Nuisance(g.label()));
      WorkingFit instead = start(trial);
      double variance = Math.pow(scatter.plain(fit), 2);
      double explained =
          (instead.residualSumOfSquares() - fit.residualSumOfSquares()) / variance
              - SwapSearch.PRICE * (own - 1);
      double size = Math.abs(SharedSuspects.valueOf(instead, g));
      if (explained < 0 && size > BEYOND_STATED * g.stated() && !shared.isDwarfed(fit, g, size)) {
        fit = instead;
        changed = true;
      }
    }
    return changed;
  }

  private boolean moveBlame() {
    List<WorkingFit.Extra> kept =
        new ArrayList<>(
            fit.extras().stream().filter(e -> e instanceof WorkingFit.Extra.Nuisance).toList());
    Set<Integer> blamed = blamed();
    Set<Integer> better =
        new SwapSearch(start(kept), asideFirst, scatter.plain(fit), factor).improve(blamed);
    if (better == null) {
      return false;
    }
    better.forEach(row -> kept.add(new WorkingFit.Extra.SetAside(row)));
    fit = start(kept);
    return true;
  }

  private double[] allowances() {
    return LocalScatter.allowances(
        design.sampling(), fit.solve().expansion(), tolerances, scatter.plain(fit));
  }

  /** The fit of a degree with every fault found taken up, but what a person keeps. */
  WorkingFit atDegree(int other) {
    return other == degree ? fit : start(taken, other);
  }

  /** Degree at which readings were judged. */
  int degree() {
    return degree;
  }

  /** A fit of its own of a degree, with the faults found and what is kept among them taken up. */
  WorkingFit anew(int other) {
    return start(judged, other);
  }

  /**
   * How well every degree up to a design's predicts, the same taken up.
   *
   * @param design of the same rows as the search's
   */
  List<DegreeLadder.Rung> ladder(HarmonicDesign design) {
    DegreeLadder ladder = new DegreeLadder(design, values);
    asideFirst.forEach(ladder::setAside);
    for (WorkingFit.Extra extra : judged) {
      Integer row = blamedRow(extra);
      if (row != null) {
        ladder.setAside(row);
      }
      SharedFault freed = shared.freedBy(extra);
      if (freed != null) {
        ladder.free(freed.pattern());
      }
    }
    return ladder.climb();
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
      if (!takeStrongest(scatter.robust(fit), readingScore)) {
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

  private WorkingFit start(List<WorkingFit.Extra> kept) {
    return start(kept, degree);
  }

  private WorkingFit start(List<WorkingFit.Extra> kept, int atDegree) {
    WorkingFit fresh = new WorkingFit(design, atDegree, values);
    asideFirst.forEach(fresh::setAside);
    shared.all().stream()
        .filter(g -> wanted.isWanted(g.label()))
        .forEach(g -> fresh.free(g.pattern(), g.label()));
    for (WorkingFit.Extra extra : kept) {
      Integer row = blamedRow(extra);
      if (row != null) {
        fresh.setAside(row);
      }
      SharedFault freed = shared.freedBy(extra);
      if (freed != null && !wanted.isWanted(freed.label())) {
        fresh.free(freed.pattern(), freed.label());
      }
    }
    return fresh;
  }

  private void forward() {
    takeAll(readingScore);
  }

  private void takeAll(double least) {
    int most = (int) (MOST_FAULTS * values.length);
    boolean gross = true;
    for (int taken = 0; taken < most && fit.degreesOfFreedom() > 2; ) {
      if (takeStrongest(gross ? scatter.robust(fit) : scatter.plain(fit), least)) {
        taken++;
      } else if (gross) {
        gross = false;
      } else {
        return;
      }
    }
  }

  private boolean takeStrongest(double sigma, double least) {
    int row = -1;
    double best = least * sigma;
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
    SharedFault group =
        groupsTrusted ? shared.strongest(fit, Math.max(best, GROUP_SCORE * sigma)) : null;
    if (group != null) {
      return fit.free(group.pattern(), group.label());
    }
    return row >= 0 && fit.setAside(row);
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
      wanted.requireTold(fit, shared.all());
    }
  }

  /** Shared faults in the fit, with what they amount to. */
  List<Found> found() {
    WorkingFit.Solution solution = fit.solve();
    List<Found> found = new ArrayList<>();
    List<WorkingFit.Extra> extras = fit.extras();
    double sigma = scatter.plain(fit);
    for (int k = 0; k < extras.size(); k++) {
      SharedFault g = shared.freedBy(extras.get(k));
      if (g != null) {
        found.add(new Found(g.label(), solution.extra(k), solution.extraUncertainty(k) * sigma));
      }
    }
    return found;
  }
}
