package org.fieldwright.core.correction;

import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import org.fieldwright.core.Progress;
import org.fieldwright.core.correction.Dive.Care;
import org.jspecify.annotations.Nullable;

/**
 * Whole pieces near the relaxed optimum: the relaxation is rounded by a {@link Dive}, then again
 * and again some columns are freed and chosen anew with the others fixed, keeping what is better.
 * Any-time, and reproducible by seed at a fixed number of iterations.
 *
 * <p>Where mass is minimised, rounding costs peak-to-peak and a plan aimed at its requirement
 * misses it. So dives aim below it by a share of what the first one missed, and the search goes on
 * from the plan that is best at moderate prices: room to spare is worth something, and a little
 * missed is no disaster. Kept beside it is the best plan at the problem's own prices, which is the
 * answer.
 */
final class WholePieceSearch {
  private static final int FEWEST_FREED = 16;
  private static final int MOST_FREED = 80;
  private static final double POOL = 1.3; // columns worth freeing, by the relaxation's basic ones
  private static final double LEAST_GAIN = 1e-4;
  private static final double NEAR_PEAK = 0.95; // of the half width: what may peak beyond it
  private static final double PEAK_TOLERANCE = 1e-5;
  private static final double SAFETY = 1e-4; // of a required width, for peaks between the points
  private static final double ROOM_PRICE = 0.6; // of what a ppm costs at the relaxed optimum
  private static final double MISSED_PRICE = 2; // likewise
  private static final double FIRST_AIM = 0.8; // of what the straight dive missed
  private static final double AIM_CHANGE = 1.1; // up after a miss, down after none
  private static final Care QUICK = new Care(0, 16, 0.5);
  private static final Care STRAIGHT = new Care(0, 1, 0.5);
  private static final Care AFRESH = new Care(0.25, 1, 0.4);
  private static final Care AGAIN = new Care(0.5, 1, 0.5);
  private static final int AFRESH_EVERY = 20; // iterations
  private static final int AIMING_EVERY = 4; // likewise, where dives aim below a requirement

  private final ShimProblem problem;
  private final ShimProblem working;
  private final TargetPoints points;
  private final List<TargetSurface> surfaces;
  private final List<SurfacePeaks> peaks;
  private final Progress progress;
  private final SplittableRandom random;
  private final double[] strength;
  private final int[] byReducedCost;
  private final int basic;
  private final Judged nothing;
  private Judged best; // at the problem's own prices
  private Judged current; // at the working prices
  private double aim; // ppm below its requirements at which a dive aims
  private long iterations;

  WholePieceSearch(ShimProblem asked, Relaxation.Relaxed relaxed, long seed, Progress progress) {
    problem = asked.tightened(SAFETY);
    double price = relaxed.pricePerPpm();
    boolean reachable = price < asked.excessPrice() / MISSED_PRICE;
    working =
        asked.massPrice() > 0 && reachable
            ? problem.priced(ROOM_PRICE * price, MISSED_PRICE * price)
            : problem;
    points = relaxed.points();
    surfaces = relaxed.surfaces();
    peaks = surfaces.stream().map(s -> new SurfacePeaks(s, points)).toList();
    this.progress = progress;
    random = new SplittableRandom(seed);
    byReducedCost = ordered(relaxed.reducedCosts());
    basic = (int) Arrays.stream(relaxed.reducedCosts()).filter(v -> v == 0).count();
    nothing = judge(new double[problem.size()]);
    best = nothing;
    current = nothing;
    strength = new double[problem.size()];
    Arrays.setAll(strength, j -> rms(points.response(j), points.size()));
  }

  private static int[] ordered(double[] reducedCosts) {
    Integer[] order = new Integer[reducedCosts.length];
    Arrays.setAll(order, j -> j);
    Arrays.sort(
        order, (a, b) -> Double.compare(Math.abs(reducedCosts[a]), Math.abs(reducedCosts[b])));
    return Arrays.stream(order).mapToInt(Integer::intValue).toArray();
  }

  private static double rms(double[] response, int size) {
    double sum = 0;
    for (int i = 0; i < size; i++) {
      sum += response[i] * response[i];
    }
    return Math.sqrt(sum / size);
  }

  /**
   * The best whole-number values found; nothing changed is the first of them.
   *
   * @param relaxed values of the relaxation
   * @param mostIterations freeings tried; the progress may stop it before
   */
  double[] run(double[] relaxed, long mostIterations) {
    int[] all = new int[relaxed.length];
    Arrays.setAll(all, j -> j);
    round(all, relaxed);
    while (iterations < mostIterations && !progress.shouldStop()) {
      iterations++;
      if (iterations % (aim > 0 ? AIMING_EVERY : AFRESH_EVERY) == 0) {
        afresh(all, relaxed);
      } else {
        dive(working, someColumns(), current.values(), AGAIN, aim * random.nextDouble(), current);
      }
      report("whole pieces");
    }
    return best.values();
  }

  long iterations() {
    return iterations;
  }

  private void round(int[] all, double[] relaxed) {
    dive(problem, all, relaxed, QUICK, 0, current); // a decent plan soon, whatever the machine
    report("rounding");
    Judged straight = dive(problem, all, relaxed, STRAIGHT, 0, current);
    report("rounding");
    if (straight != null && problem.missed(straight.widths()) > 0) {
      aim = FIRST_AIM * problem.missed(straight.widths());
      afresh(all, relaxed);
    }
  }

  /** Rounds all columns again, aiming lower or higher by whether it last came out short. */
  private void afresh(int[] all, double[] relaxed) {
    Judged found = dive(working, all, relaxed, AFRESH, aim, aim > 0 ? nothing : current);
    if (found == null) {
      return;
    }
    double missed = problem.missed(found.widths());
    if (problem.missed(best.widths()) > 0) {
      aim += missed;
    } else {
      aim = missed > 0 ? aim * AIM_CHANGE : aim / AIM_CHANGE;
    }
  }

  private void report(String stage) {
    progress.report(stage, Double.NaN, best.widths()[0]);
  }

  /** Columns at random of those that the relaxation would move at little cost. */
  private int[] someColumns() {
    int n = problem.size();
    double share = Math.min(n, MOST_FREED) / (double) Math.min(n, FEWEST_FREED);
    int k = (int) Math.round(Math.min(n, FEWEST_FREED) * Math.pow(share, random.nextDouble()));
    int pool = Math.min(n, Math.max(k, (int) (POOL * basic)));
    int[] order = Arrays.copyOf(byReducedCost, pool);
    for (int i = 0; i < k; i++) {
      int other = i + random.nextInt(pool - i);
      int swapped = order[i];
      order[i] = order[other];
      order[other] = swapped;
    }
    return Arrays.copyOf(order, k);
  }

  /** What a plan comes to on the surfaces; widths by requirement, ppm. */
  @SuppressWarnings("ArrayRecordComponent") // handed on, not compared
  private record Judged(double[] values, double[] widths) {
    double objective(ShimProblem by) {
      return by.objective(values, widths);
    }
  }

  /** Rounds some columns; what comes out has to better a plan. */
  private @Nullable Judged dive(
      ShimProblem by, int[] free, double[] start, Care care, double below, Judged toBetter) {
    double[] field = new double[points.size()];
    points.field(start, field);
    double now = toBetter.objective(by);
    double cutoff = now - LEAST_GAIN * Math.abs(now);
    Dive dive = new Dive(by, points, free, strength, start, field, cutoff, below);
    double[] found = dive.run(random, care, progress);
    if (found == null) {
      return null;
    }
    int known = points.size();
    Judged judged = judge(found);
    if (points.size() > known) { // what peaks between the points counts for the others, too
      best = judge(best.values());
      current = judge(current.values());
    }
    current = judged.objective(working) < current.objective(working) ? judged : current;
    best = judged.objective(problem) < best.objective(problem) ? judged : best;
    return judged;
  }

  /** Widths on the surfaces themselves; the peaks found between the points become points. */
  private Judged judge(double[] values) {
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
    return new Judged(values, points.widths(field));
  }
}
