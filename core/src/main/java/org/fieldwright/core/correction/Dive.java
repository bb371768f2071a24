package org.fieldwright.core.correction;

import java.util.Arrays;
import java.util.SplittableRandom;
import org.fieldwright.core.Progress;
import org.jspecify.annotations.Nullable;

/**
 * Rounds some columns of a plan one after the other, each time letting the columns still free make
 * up for it: the linear program over the free columns is solved again after every rounding.
 *
 * <p>Columns that move the field most are rounded first, so that the last ones, whose rounding
 * nothing makes up for, are those that hardly matter.
 */
final class Dive {
  private static final int MOST_PIVOTS = 20_000;
  private static final double WHOLE = 1e-7;
  private static final double SEED_BAND = 0.05; // of the width, from both extremes
  private static final double CUT_TOLERANCE = 1e-3;
  private static final int LOOK_EVERY = 8;
  private static final int MOST_BACKS = 10;

  private final ShimProblem problem;
  private final TargetPoints points;
  private final int[] free;
  private final double[] strength;
  private final double[] values; // of all columns; the free ones as the program has them
  private final double[] fixedField; // of everything but the free columns
  private final double[] field;
  private final BoundedSimplex program;
  private Progress stop = Progress.NONE;
  private final boolean[] cutAbove;
  private final boolean[] cutBelow;
  private int sinceLook;
  private final int requirements;
  private final double below;

  /**
   * @param free columns to be chosen again
   * @param start values of all columns; the others keep theirs
   * @param startField the field at the points with these values
   * @param cutoff the objective must come out below this; +∞ for no such demand
   * @param below ppm below its requirements at which the program aims, for rounding to use up
   */
  Dive(
      ShimProblem problem,
      TargetPoints points,
      int[] free,
      double[] strength,
      double[] start,
      double[] startField,
      double cutoff,
      double below) {
    this.problem = problem;
    this.points = points;
    this.free = free;
    this.strength = strength;
    this.below = below;
    this.values = start.clone();
    this.fixedField = Arrays.copyOf(startField, points.size());
    this.field = new double[points.size()];
    for (int j : free) {
      points.addColumn(fixedField, j, -start[j]);
      values[j] = 0;
    }
    this.requirements = problem.requirements().size();
    this.cutAbove = new boolean[points.size()];
    this.cutBelow = new boolean[points.size()];
    this.program = program(cutoff);
    seedCuts(startField);
  }

  private BoundedSimplex program(double cutoff) {
    int count = free.length + 3 * requirements;
    double[] cost = new double[count];
    double[] perturbation = new double[count];
    double[] lower = new double[count];
    double[] upper = new double[count];
    for (int k = 0; k < free.length; k++) {
      int j = free[k];
      lower[k] = problem.lower()[j];
      upper[k] = problem.upper()[j];
      cost[k] = problem.massPrice() * problem.massAdded()[j];
      perturbation[k] = 1e-7 * (0.5 + ((k * 0.618034) % 1)) * Math.max(1e-3, cost[k]);
    }
    for (int q = 0; q < requirements; q++) {
      int c = free.length + 3 * q;
      lower[c] = Double.NEGATIVE_INFINITY;
      upper[c] = Double.POSITIVE_INFINITY;
      upper[c + 1] =
          Math.max(0, Math.min(1e9, (problem.requirements().get(q).widthPpm() - below) / 2));
      upper[c + 2] = Double.POSITIVE_INFINITY;
      cost[c + 2] = 2 * problem.excessPrice();
    }
    cost[free.length + 1] = 2 * problem.widthPrice();
    BoundedSimplex p = new BoundedSimplex(cost, perturbation, lower, upper);
    addCaps(p, count);
    if (!Double.isInfinite(cutoff)) {
      p.addRow(cutoffRow(cost), cutoff - problem.massPrice() * problem.massAdded(values));
    }
    return p;
  }

  /** Costs that count against the cutoff: width beyond a lowered aim need not be missed. */
  private double[] cutoffRow(double[] cost) {
    double[] row = cost.clone();
    if (below > 0) {
      for (int q = 0; q < requirements; q++) {
        row[free.length + 3 * q + 2] = row[free.length + 3 * q + 1];
      }
    }
    return row;
  }

  private void addCaps(BoundedSimplex p, int count) {
    for (ShimProblem.Cap cap : problem.caps()) {
      double[] row = new double[count];
      boolean touches = false;
      for (int k = 0; k < cap.columns().length; k++) {
        for (int l = 0; l < free.length; l++) {
          if (free[l] == cap.columns()[k]) {
            row[l] = cap.weights()[k];
            touches = true;
          }
        }
      }
      if (touches) {
        p.addRow(row, cap.limit() - cap.sum(values));
      }
    }
  }

  private void seedCuts(double[] startField) {
    double[][] extremes = points.extremes(startField);
    for (int i = 0; i < points.size(); i++) {
      double[] e = extremes[points.requirement(i)];
      double near = SEED_BAND * (e[0] - e[1]);
      if (startField[i] > e[0] - near) {
        cut(i, 1);
      } else if (startField[i] < e[1] + near) {
        cut(i, -1);
      }
    }
  }

  private void cut(int i, int side) {
    boolean[] done = side > 0 ? cutAbove : cutBelow;
    if (done[i]) {
      return;
    }
    done[i] = true;
    double[] row = new double[free.length + 3 * requirements];
    for (int k = 0; k < free.length; k++) {
      row[k] = side * points.response(free[k])[i];
    }
    int c = free.length + 3 * points.requirement(i);
    row[c] = -side;
    row[c + 1] = -1;
    row[c + 2] = -1;
    program.addRow(row, -side * fixedField[i]);
  }

  /**
   * Solves and cuts until no target point is beyond its band or there is no more time; false if the
   * cutoff cannot be met.
   */
  boolean settle() {
    for (int round = 0; round < 100; round++) {
      if (!feasible()) {
        return false;
      }
      if (addCuts() == 0 || stop.shouldStop()) {
        return true;
      }
    }
    return true;
  }

  private int addCuts() {
    double[] x = program.solution();
    System.arraycopy(fixedField, 0, field, 0, field.length);
    for (int k = 0; k < free.length; k++) {
      points.addColumn(field, free[k], x[k]);
    }
    int added = 0;
    for (int i = 0; i < field.length; i++) {
      int c = free.length + 3 * points.requirement(i);
      double off = field[i] - x[c];
      double beyond = Math.abs(off) - x[c + 1] - x[c + 2];
      if (beyond > CUT_TOLERANCE * (1 + x[c + 1])) {
        int side = off > 0 ? 1 : -1;
        if (!(side > 0 ? cutAbove : cutBelow)[i]) {
          cut(i, side);
          added++;
        }
      }
    }
    return added;
  }

  /**
   * How a dive rounds.
   *
   * @param daring how much the order of rounding is shuffled; 0 for not at all
   * @param batch how many columns are rounded between two solutions: 1 is best, more is faster
   * @param ambiguous a column at least so far from a whole number is solved both ways; 0.5 for none
   */
  record Care(double daring, int batch, double ambiguous) {}

  /**
   * Rounds every free column; the values of all columns, or null if the cutoff was not met. Where
   * no way is left it goes back to a column that could be rounded otherwise, {@link #MOST_BACKS}
   * times. Told to stop, it rounds the rest as they stand.
   */
  double @Nullable [] run(SplittableRandom random, Care care, Progress progress) {
    stop = progress;
    if (!settle()) {
      return null;
    }
    int[] order = order(random, care.daring());
    double[] other = new double[order.length]; // the whole number not tried yet; NaN for none
    int pending = 0;
    int backs = 0;
    for (int d = 0; d < order.length; d++) {
      if (progress.shouldStop()) {
        return roundedAsItStands();
      }
      int k = order[d];
      double v = program.solution()[k];
      double chosen = choose(k, v, care);
      boolean whole = Math.abs(v - chosen) < WHOLE;
      other[d] = whole ? Double.NaN : chosen > v ? chosen - 1 : chosen + 1;
      program.setBounds(k, chosen, chosen);
      boolean last = d == order.length - 1;
      if (!last && (whole || ++pending < care.batch())) {
        continue;
      }
      pending = 0;
      while (!settled(last)) {
        if (care.batch() > 1 || ++backs > MOST_BACKS) {
          return null;
        }
        d = back(order, other, d);
        if (d < 0) {
          return null;
        }
        last = d == order.length - 1;
      }
    }
    return rounded();
  }

  /** The nearest whole number or, where that is a close call, the one that costs less. */
  private double choose(int k, double v, Care care) {
    double nearest = Math.rint(v);
    double second = v > nearest ? nearest + 1 : nearest - 1;
    if (care.batch() > 1 || Math.abs(v - nearest) < care.ambiguous() || !inBounds(k, second)) {
      return nearest;
    }
    return costWith(k, second) < costWith(k, nearest) ? second : nearest;
  }

  private double costWith(int k, double value) {
    program.setBounds(k, value, value);
    return feasible() ? program.objective() : Double.POSITIVE_INFINITY;
  }

  /** Lets the free columns answer; all points are looked at now and then, and at the end. */
  private boolean settled(boolean last) {
    if (!feasible()) {
      return false;
    }
    boolean look = last || ++sinceLook % LOOK_EVERY == 0;
    return !look || addCuts() == 0 || settle();
  }

  private boolean feasible() {
    return program.resolve(MOST_PIVOTS) == BoundedSimplex.Status.OPTIMAL;
  }

  /** Frees columns from the d-th backwards until one can be rounded otherwise; its place, or −1. */
  private int back(int[] order, double[] other, int d) {
    for (int e = d; e >= 0; e--) {
      int k = order[e];
      if (inBounds(k, other[e])) {
        program.setBounds(k, other[e], other[e]);
        other[e] = Double.NaN;
        return e;
      }
      program.setBounds(k, problem.lower()[free[k]], problem.upper()[free[k]]);
    }
    return -1;
  }

  private boolean inBounds(int k, double value) {
    return value >= problem.lower()[free[k]] && value <= problem.upper()[free[k]];
  }

  /** Columns that move the field most first, shuffled a little where daring. */
  private int[] order(SplittableRandom random, double daring) {
    Integer[] order = new Integer[free.length];
    double[] key = new double[free.length];
    for (int k = 0; k < free.length; k++) {
      order[k] = k;
      key[k] = -strength[free[k]] * Math.exp(daring * random.nextDouble());
    }
    Arrays.sort(order, (a, b) -> Double.compare(key[a], key[b]));
    return Arrays.stream(order).mapToInt(Integer::intValue).toArray();
  }

  private double @Nullable [] roundedAsItStands() {
    double[] result = rounded();
    for (ShimProblem.Cap cap : problem.caps()) {
      if (cap.sum(result) > cap.limit()) {
        return null;
      }
    }
    return result;
  }

  private double[] rounded() {
    double[] x = program.solution();
    double[] result = values.clone();
    for (int k = 0; k < free.length; k++) {
      result[free[k]] = Math.rint(x[k]);
    }
    return result;
  }
}
