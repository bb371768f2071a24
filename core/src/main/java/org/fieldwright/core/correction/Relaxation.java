package org.fieldwright.core.correction;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import org.fieldwright.core.Progress;
import org.fieldwright.core.geometry.Vec3;
import org.jspecify.annotations.Nullable;

/**
 * The linear relaxation of a {@link ShimProblem} on the surfaces of its volumes: fractions of
 * pieces allowed. Its optimum bounds every whole-piece plan from below.
 *
 * <p>For every requirement there is a free centre c and a half width t with −t ≤ field − c ≤ t on
 * its surface . Cutting planes: solve with the points known, look for the surface's local extremes
 * beyond the band on a 4° grid with refinement, add them, go on; then the same on a grid of {@link
 * #CHECK_SPACING_DEG}, until none is beyond by more than {@link #TOLERANCE} of the width.
 */
final class Relaxation {
  static final double GRID_SPACING_DEG = 4;
  static final double CHECK_SPACING_DEG = 1;
  static final double TOLERANCE = 1e-3;
  private static final double WORKING_TOLERANCE = 2e-4;
  private static final int MOST_ROUNDS = 200;
  private static final int MOST_PIVOTS = 200_000;
  private static final double TIE_BREAK = 1e-7;

  private final ShimProblem problem;
  private final Progress progress;
  private final int size;
  private final List<TargetSurface> grids = new ArrayList<>();
  private final List<SurfacePeaks> peaks = new ArrayList<>();
  private final TargetPoints points;
  private final List<TargetSurface> checkGrids = new ArrayList<>();
  private final BoundedSimplex program;

  Relaxation(ShimProblem problem, Progress progress) {
    this.problem = problem;
    this.progress = progress;
    this.size = problem.size();
    for (ShimProblem.Requirement r : problem.requirements()) {
      grids.add(new TargetSurface(r.volume(), Math.toRadians(GRID_SPACING_DEG)));
    }
    points = new TargetPoints(problem, grids);
    for (TargetSurface grid : grids) {
      peaks.add(new SurfacePeaks(grid, points));
    }
    program = programWithoutTargets();
  }

  /**
   * @param values of the columns, fractions allowed
   * @param widths peak-to-peak by requirement, ppm
   * @param massAdded kg
   * @param pricePerPpm objective that one ppm more in the first requirement's width would save
   * @param points grid points and all cut points, for the search that follows
   * @param surfaces the grids the points begin with, by requirement
   */
  @SuppressWarnings("ArrayRecordComponent") // handed on to the search, not compared
  record Relaxed(
      double[] values,
      double[] widths,
      double massAdded,
      double pricePerPpm,
      double[] reducedCosts,
      TargetPoints points,
      List<TargetSurface> surfaces) {}

  /** The optimum, or null if the requirements and caps cannot be kept even by fractions. */
  @Nullable Relaxed solve() {
    double[] field = new double[0];
    for (int round = 0; round < MOST_ROUNDS; round++) {
      double[] values = program.solution();
      if (field.length < points.size()) {
        field = new double[points.size() + points.size() / 4];
      }
      points.field(values, field);
      int added = cutPeaks(values, field, round == 0);
      if (added == 0) {
        added = cutOnCheckGrid(values);
        if (added == 0) {
          break;
        }
      }
      if (program.resolve(MOST_PIVOTS) != BoundedSimplex.Status.OPTIMAL) {
        return null;
      }
      program.dropSlackRows(Math.max(1, program.solution()[size + 1]));
      boolean width = problem.widthPrice() > 0; // else what is least is no bound in ppm
      progress.report("relaxation", Double.NaN, width ? program.objective() : Double.NaN);
    }
    if (program.solve(MOST_PIVOTS) != BoundedSimplex.Status.OPTIMAL) {
      return null;
    }
    return result();
  }

  private Relaxed result() {
    double[] all = program.solution();
    double[] widths = new double[problem.requirements().size()];
    for (int q = 0; q < widths.length; q++) {
      widths[q] = 2 * (all[size + 3 * q + 1] + all[size + 3 * q + 2]);
    }
    double pricePerPpm = Math.max(0, -program.reducedCost(size + 1) / 2); // of the half width
    double[] reduced = new double[size];
    Arrays.setAll(reduced, program::reducedCost);
    return new Relaxed(
        Arrays.copyOf(all, size),
        widths,
        problem.massAdded(all),
        pricePerPpm,
        reduced,
        points,
        grids);
  }

  private BoundedSimplex programWithoutTargets() {
    int count = size + 3 * problem.requirements().size();
    double[] cost = new double[count];
    double[] perturbation = new double[count];
    double[] lower = Arrays.copyOf(problem.lower(), count);
    double[] upper = Arrays.copyOf(problem.upper(), count);
    SplittableRandom random = new SplittableRandom(1);
    for (int j = 0; j < size; j++) {
      cost[j] = problem.massPrice() * problem.massAdded()[j];
      perturbation[j] = TIE_BREAK * (0.5 + random.nextDouble()) * Math.max(1, cost[j]);
    }
    for (int q = 0; q < problem.requirements().size(); q++) {
      lower[size + 3 * q] = Double.NEGATIVE_INFINITY;
      upper[size + 3 * q] = Double.POSITIVE_INFINITY;
      upper[size + 3 * q + 1] = Math.min(1e9, problem.requirements().get(q).widthPpm() / 2);
      upper[size + 3 * q + 2] = Double.POSITIVE_INFINITY;
      cost[size + 3 * q + 2] = 2 * problem.excessPrice();
    }
    cost[size + 1] = 2 * problem.widthPrice();
    BoundedSimplex p = new BoundedSimplex(cost, perturbation, lower, upper);
    for (ShimProblem.Cap cap : problem.caps()) {
      double[] row = new double[count];
      for (int k = 0; k < cap.columns().length; k++) {
        row[cap.columns()[k]] = cap.weights()[k];
      }
      p.addRow(row, cap.limit());
    }
    return p;
  }

  private int cutPeaks(double[] values, double[] field, boolean first) {
    int added = 0;
    int offset = 0;
    for (int q = 0; q < grids.size(); q++) {
      double centre = values[size + 3 * q];
      double half = values[size + 3 * q + 1] + values[size + 3 * q + 2];
      double edge = half + Math.max(1e-6, WORKING_TOLERANCE * half);
      for (SurfacePeaks.Peak peak :
          peaks.get(q).beyond(values, field, offset, centre, first ? half : 0.8 * half)) {
        if (peak.side() * (peak.ppm() - centre) > edge) {
          cut(q, peak.place(), peak.side());
          added++;
        }
      }
      offset += grids.get(q).size();
    }
    return added;
  }

  private int cutOnCheckGrid(double[] values) {
    if (checkGrids.isEmpty()) {
      for (TargetSurface grid : grids) {
        checkGrids.add(new TargetSurface(grid.volume(), Math.toRadians(CHECK_SPACING_DEG)));
      }
    }
    int added = 0;
    for (int q = 0; q < checkGrids.size(); q++) {
      TargetSurface check = checkGrids.get(q);
      double centre = values[size + 3 * q];
      double half = values[size + 3 * q + 1] + values[size + 3 * q + 2];
      for (int i = 0; i < check.size(); i++) {
        Vec3 p = check.point(i);
        double off = points.field(values, p) - centre;
        if (Math.abs(off) > half * (1 + TOLERANCE) + 1e-9) {
          cut(q, p, off > 0 ? 1 : -1);
          added++;
        }
      }
    }
    return added;
  }

  /** side·(field − c) ≤ t at a point. */
  private void cut(int q, Vec3 p, int side) {
    int point = points.add(q, p);
    double[] row = new double[size + 3 * grids.size()];
    for (int j = 0; j < size; j++) {
      row[j] = side * points.response(j)[point];
    }
    row[size + 3 * q] = -side;
    row[size + 3 * q + 1] = -1;
    row[size + 3 * q + 2] = -1;
    program.addRow(row, -side * points.fieldBefore(p));
  }
}
