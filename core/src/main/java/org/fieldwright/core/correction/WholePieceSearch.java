package org.fieldwright.core.correction;

import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import org.fieldwright.core.Progress;

/**
 * Whole pieces near the relaxed optimum: the relaxation is rounded by a {@link Dive}, then again
 * and again some columns are freed and chosen anew with the others fixed, keeping what is better.
 * Any-time, and reproducible by seed at a fixed number of iterations.
 */
final class WholePieceSearch {
  private static final int FEWEST_FREED = 16;
  private static final int MOST_FREED = 60;
  private static final int QUICK_BATCH = 16;
  private static final double DARING = 0.5;
  private static final double LEAST_GAIN = 1e-4;
  private static final double NEAR_PEAK = 0.95; // of the half width: what may peak beyond it
  private static final double PEAK_TOLERANCE = 1e-5;

  private final ShimProblem problem;
  private final TargetPoints points;
  private final List<TargetSurface> surfaces;
  private final List<SurfacePeaks> peaks;
  private final Progress progress;
  private final SplittableRandom random;
  private final double[] strength;
  private double[] best;
  private double bestObjective;
  private long iterations;

  WholePieceSearch(ShimProblem problem, Relaxation.Relaxed relaxed, long seed, Progress progress) {
    this.problem = problem;
    this.points = relaxed.points();
    this.surfaces = relaxed.surfaces();
    this.peaks = surfaces.stream().map(s -> new SurfacePeaks(s, points)).toList();
    this.progress = progress;
    this.random = new SplittableRandom(seed);
    this.best = new double[problem.size()];
    this.bestObjective = judge(best);
    this.strength = new double[problem.size()];
    for (int j = 0; j < strength.length; j++) {
      double[] r = points.response(j);
      double sum = 0;
      for (int i = 0; i < points.size(); i++) {
        sum += r[i] * r[i];
      }
      strength[j] = Math.sqrt(sum / points.size());
    }
  }

  /**
   * The best whole-number values found; nothing changed is the first of them.
   *
   * @param relaxed values of the relaxation
   * @param mostIterations freeings tried; the progress may stop it before
   */
  double[] run(double[] relaxed, long mostIterations) {
    round(relaxed);
    while (iterations < mostIterations && !progress.shouldStop()) {
      iterations++;
      improve(best);
      progress.report("whole pieces", Double.NaN, bestObjective);
    }
    return best;
  }

  long iterations() {
    return iterations;
  }

  private void round(double[] relaxed) {
    int[] all = new int[relaxed.length];
    Arrays.setAll(all, j -> j);
    tryDive(all, relaxed, 0, QUICK_BATCH); // something decent soon, whatever the machine
    progress.report("rounding", Double.NaN, bestObjective);
    tryDive(all, relaxed, 0, 1);
  }

  private void improve(double[] from) {
    int n = problem.size();
    int k = Math.min(n, FEWEST_FREED + random.nextInt(MOST_FREED - FEWEST_FREED + 1));
    int[] order = new int[n];
    Arrays.setAll(order, j -> j);
    for (int i = 0; i < k; i++) {
      int other = i + random.nextInt(n - i);
      int swapped = order[i];
      order[i] = order[other];
      order[other] = swapped;
    }
    tryDive(Arrays.copyOf(order, k), from, DARING, 1);
  }

  private void tryDive(int[] free, double[] start, double daring, int batch) {
    double[] field = new double[points.size()];
    points.field(start, field);
    double cutoff = bestObjective - LEAST_GAIN * Math.abs(bestObjective);
    Dive dive = new Dive(problem, points, free, strength, start, field, cutoff);
    double[] found = dive.run(random, daring, batch, progress);
    if (found != null) {
      double objective = judge(found);
      if (objective < bestObjective) {
        best = found;
        bestObjective = objective;
      }
    }
  }

  /** The objective on the surface itself; the peaks found between the points become points. */
  private double judge(double[] values) {
    double[] field = new double[points.size()];
    points.field(values, field);
    double[] widths = points.widths(field);
    double[] centres = points.centres(field);
    int offset = 0;
    for (int q = 0; q < peaks.size(); q++) {
      double half = widths[q] / 2;
      for (SurfacePeaks.Peak peak :
          peaks.get(q).beyond(values, field, offset, centres[q], NEAR_PEAK * half)) {
        if (Math.abs(peak.ppm() - centres[q]) > half * (1 + PEAK_TOLERANCE)) {
          points.add(q, peak.place());
        }
      }
      offset += surfaces.get(q).size();
    }
    field = new double[points.size()];
    points.field(values, field);
    return problem.objective(values, points.widths(field));
  }
}
