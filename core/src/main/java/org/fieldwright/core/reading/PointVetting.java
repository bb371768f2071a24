package org.fieldwright.core.reading;

import java.util.Comparator;
import java.util.List;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import org.fieldwright.core.harmonic.DegreeLadder;
import org.fieldwright.core.harmonic.FreePoints;
import org.fieldwright.core.harmonic.PointFit;
import org.fieldwright.core.harmonic.Term;
import org.jspecify.annotations.Nullable;

/**
 * The search for bad readings among many free points, by their moments instead of a matrix of all
 * harmonics at all points: the same judgement as {@link FaultSearch}'s, in less time, and in memory
 * that grows with the points alone.
 *
 * <p>Free points share no probe and no angle, so there are single bad readings only. They are set
 * aside by the dozen, the loudest of a round and what is not much quieter, where the other search
 * takes one after the other; at the end every one is held against the rest again and put back if it
 * no longer stands out, until nothing changes, so that the order does not matter. Neighbours that
 * share their residuals, for whom {@link SwapSearch} is there, are rare among so many points: two
 * of them are correlated by about the number of terms over the number of points.
 */
final class PointVetting {
  /** Among fewer, at the largest degrees, neighbours share residuals: see {@link SwapSearch}. */
  static final int LEAST_POINTS = 3000;

  /** What is quieter than this share of the loudest may owe its residual to it. */
  private static final double LOUD = 0.25;

  private final FreePoints points;
  private final FaultSearch.Tolerances stated;
  private final Set<Integer> keep;
  private final double readingScore;
  private final ResidualScatter scatter;
  private final int rows;
  private double[] factor;
  private List<DegreeLadder.Rung> ladder = List.of();
  private @Nullable Set<Integer> asideInLadder;

  /**
   * @param points none set aside
   * @param keep rows that a person wants used
   */
  PointVetting(FreePoints points, Set<Integer> keep, FaultSearch.Tolerances stated) {
    this.points = points;
    this.stated = stated;
    this.keep = keep;
    rows = points.sampling().size();
    readingScore = FaultSearch.readingScore(rows);
    scatter = new ResidualScatter(stated.readingPpm());
    factor = LocalScatter.none(rows);
  }

  /** Whether so many points are enough for this route, and for fits of this degree. */
  static boolean suits(int points, int degree) {
    return points >= LEAST_POINTS && Term.count(degree) <= DegreeChoice.MOST_UNKNOWNS * points;
  }

  /**
   * Judges every reading and chooses the degree, as {@link Vetting} does by the other search.
   *
   * @param supported the largest degree, or the one the user chose
   * @param chosen whether the user chose it
   * @return null where the moments do not hold digits enough for these points
   */
  Vetting.@Nullable Outcome search(int supported, boolean chosen) {
    PointFit fit = judge(supported);
    if (fit == null) {
      return null;
    }
    if (chosen) {
      return outcome(fit, new DegreeChoice(supported, "chosen by the user", List.of()));
    }
    int better = DegreeChoice.toJudge(ladder(fit, supported), supported, true);
    // Faults found at one degree may let another predict better.
    for (int pass = 1; pass <= Vetting.MOST_DEGREES && better != fit.degree(); pass++) {
      fit = judge(better);
      if (fit == null) {
        return null;
      }
      better =
          pass < Vetting.MOST_DEGREES
              ? DegreeChoice.toJudge(ladder(fit, supported), supported, false)
              : better;
    }
    return outcome(fit, DegreeChoice.byPress(ladder(fit, supported), supported, fit.degree()));
  }

  /** How every degree predicts what a fit did not set aside. */
  private List<DegreeLadder.Rung> ladder(PointFit fit, int supported) {
    Set<Integer> aside =
        IntStream.range(0, rows).filter(fit::isSetAside).boxed().collect(Collectors.toSet());
    if (!aside.equals(asideInLadder)) { // another degree's fit often sets the same aside
      ladder = points.ladder(supported);
      asideInLadder = aside;
    }
    return ladder;
  }

  /** With what a person keeps put back: judged with the rest so far, or its error would spread. */
  private Vetting.Outcome outcome(PointFit judged, DegreeChoice degree) {
    PointFit fit = judged;
    if (degree.degree() != judged.degree() || keep.stream().anyMatch(judged::isSetAside)) {
      keep.forEach(points::restore);
      fit = points.fit(degree.degree());
    }
    return new Vetting.Outcome(fit, scatter.plain(fit), degree, null);
  }

  /** The fit of a degree with every bad reading set aside; null where it is not exact enough. */
  private @Nullable PointFit judge(int degree) {
    for (int i = 0; i < rows; i++) {
      points.restore(i);
    }
    factor = LocalScatter.none(rows);
    PointFit fit = points.fit(degree);
    return fit.isSound() ? unmask(sharpen(takeAll(fit, readingScore))) : null;
  }

  /**
   * Sets aside what stands out until nothing does: held against the robust scatter first, then
   * against the standard deviation. Leverages are made anew when a round finds no more.
   */
  private PointFit takeAll(PointFit from, double score) {
    PointFit fit = from;
    int most = (int) (FaultSearch.MOST_FAULTS * rows);
    boolean gross = true;
    boolean stale = false;
    while (most > 0 && fit.degreesOfFreedom() > 2) {
      double sigma = gross ? scatter.robust(fit) : scatter.plain(fit);
      List<Integer> loud = loudest(fit, score * sigma, most);
      if (!loud.isEmpty()) {
        loud.forEach(points::setAside);
        most -= loud.size();
        fit = points.like(fit);
        stale = true;
      } else if (gross) {
        gross = false;
      } else if (stale) {
        fit = points.fit(fit.degree());
        stale = false;
      } else {
        return fit;
      }
    }
    return stale ? points.fit(fit.degree()) : fit;
  }

  /** The rows that stand out, the loudest first, without those much quieter than it. */
  private List<Integer> loudest(PointFit fit, double beyond, int most) {
    double[] score = new double[rows];
    double loudest = 0;
    for (int i = 0; i < rows; i++) {
      boolean judged = !fit.isSetAside(i) && fit.redundancy(i) >= FaultSearch.LEAST_REDUNDANCY;
      score[i] = judged ? fit.deviation(i) / factor[i] : 0;
      loudest = Math.max(loudest, score[i]);
    }
    double least = Math.max(beyond, LOUD * loudest);
    return IntStream.range(0, rows)
        .filter(i -> score[i] > least)
        .boxed()
        .sorted(Comparator.comparingDouble((Integer i) -> -score[i]))
        .limit(most)
        .toList();
  }

  /**
   * Many bad readings that are left raise the scatter that each is held against: as {@link
   * FaultSearch} does, takes up what nearly stands out, judges again, and keeps the better.
   */
  private PointFit unmask(PointFit before) {
    if (scatter.plain(before) > FaultSearch.HIDDEN_SCATTER * stated.readingPpm()) {
      return before;
    }
    PointFit after = takeAll(before, FaultSearch.HIDDEN_SCORE);
    if (after.setAsideCount() == before.setAsideCount()) {
      return before;
    }
    after = sharpen(after);
    double sigma = Math.min(scatter.plain(after), scatter.plain(before));
    if (cost(after, sigma) < cost(before, sigma)) {
      return after;
    }
    for (int i = 0; i < rows; i++) {
      if (before.isSetAside(i)) {
        points.setAside(i);
      } else {
        points.restore(i);
      }
    }
    return before;
  }

  private double cost(PointFit fit, double sigma) {
    return FaultSearch.cost(fit, fit.setAsideCount(), sigma, readingScore);
  }

  /** Puts back what does not stand out beside the rest and looks again, until nothing changes. */
  private PointFit sharpen(PointFit from) {
    PointFit fit = from;
    for (int pass = 0; pass < FaultSearch.MOST_PASSES; pass++) {
      double sigma = scatter.plain(fit);
      double[] allowances = LocalScatter.allowances(fit.sampling(), fit.expansion(), stated, sigma);
      factor = LocalScatter.factors(fit, fit.sampling(), Set.of(), allowances);
      boolean restored = false;
      for (int i = 0; i < rows; i++) {
        if (fit.isSetAside(i) && fit.deviation(i) <= readingScore * factor[i] * sigma) {
          points.restore(i);
          restored = true;
        }
      }
      fit = restored ? points.fit(fit.degree()) : fit;
      int before = fit.setAsideCount();
      fit = takeAll(fit, readingScore);
      if (!restored && fit.setAsideCount() == before) {
        break;
      }
    }
    return fit;
  }
}
