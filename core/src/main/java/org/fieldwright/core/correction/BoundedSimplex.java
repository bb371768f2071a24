package org.fieldwright.core.correction;

/**
 * A linear program with dense rows, bounded variables and rows that arrive while it is being
 * solved:
 *
 * <pre>minimise cost·x   subject to   row_i·x ≤ rhs_i,   lower ≤ x ≤ upper.</pre>
 *
 * <p>Made for cutting planes: few rows bind at the optimum, every round adds some violated ones,
 * and the dual simplex method goes on from where it stood. The whole tableau is kept explicitly
 * (rows × columns doubles), so that a pivot is one pass of row additions over flat arrays; it is
 * rebuilt from the original rows every {@link #REBUILD_AFTER} pivots and once at the end.
 *
 * <p>Method: dual simplex with Devex pricing, Harris ratio test and bound flipping (Koberstein
 * 2005, ch. 3 and 6), costs perturbed against dual degeneracy; then the true costs and the primal
 * simplex method to remove what the perturbation left. Not thread-safe.
 */
final class BoundedSimplex {
  static final int REBUILD_AFTER = 300;
  private static final double PRIMAL_TOLERANCE = 1e-9;
  private static final double DUAL_TOLERANCE = 1e-10;
  private static final double PIVOT_TOLERANCE = 1e-9;

  /** How a solve ended. */
  enum Status {
    OPTIMAL,
    INFEASIBLE,
    STALLED
  }

  private final int columns;
  private final double[] cost;
  private final double[] perturbation;
  private final double[] lower;
  private final double[] upper;
  final SimplexTableau t;
  private int pivots;
  private boolean perturbed = true;

  /**
   * @param cost per unit of each variable
   * @param perturbation small positive costs that break ties while solving; they do not enter the
   *     answer
   * @param lower may be −∞
   * @param upper may be +∞; a variable with a negative cost needs a finite one
   */
  BoundedSimplex(double[] cost, double[] perturbation, double[] lower, double[] upper) {
    this.columns = cost.length;
    this.cost = cost.clone();
    this.perturbation = perturbation.clone();
    this.lower = lower.clone();
    this.upper = upper.clone();
    this.t = new SimplexTableau(columns);
    for (int j = 0; j < columns; j++) {
      t.reduced[j] = this.cost[j] + this.perturbation[j];
      t.nonbasicValue[j] = startValue(j);
    }
  }

  private double startValue(int j) {
    if (t.reduced[j] < 0) {
      return upper[j];
    }
    return Double.isInfinite(lower[j]) ? (Double.isInfinite(upper[j]) ? 0 : upper[j]) : lower[j];
  }

  /** Adds row·x ≤ rhs; the row is kept, not copied. */
  void addRow(double[] row, double rhs) {
    t.addRow(row, rhs);
  }

  /** Drops rows that have been slack by more than {@code margin} at the present solution. */
  void dropSlackRows(double margin) {
    t.dropSlackRows(margin);
  }

  /** Changes a variable's bounds; the next solve goes on from here. */
  void setBounds(int variable, double newLower, double newUpper) {
    lower[variable] = newLower;
    upper[variable] = newUpper;
    int k = t.placeOfNonbasic(variable);
    if (k >= 0) {
      double value = t.nonbasicValue[k];
      double moved = Math.min(newUpper, Math.max(newLower, value));
      if (t.reduced[k] > DUAL_TOLERANCE && !Double.isInfinite(newLower)) {
        moved = newLower;
      } else if (t.reduced[k] < -DUAL_TOLERANCE && !Double.isInfinite(newUpper)) {
        moved = newUpper;
      } else if (moved != newLower && moved != newUpper && !Double.isInfinite(newLower)) {
        moved = newLower;
      }
      t.moveNonbasic(k, moved);
    }
  }

  /** Values of the variables at the present basis. */
  double[] solution() {
    double[] x = new double[columns];
    for (int k = 0; k < columns; k++) {
      if (t.nonbasic[k] < columns) {
        x[t.nonbasic[k]] = t.nonbasicValue[k];
      }
    }
    for (int i = 0; i < t.rows; i++) {
      if (t.basic[i] < columns) {
        x[t.basic[i]] = t.basicValue[i];
      }
    }
    return x;
  }

  /** Objective per unit of a variable held at a bound; 0 for the others. */
  double reducedCost(int variable) {
    int k = t.placeOfNonbasic(variable);
    return k < 0 ? 0 : t.reduced[k];
  }

  double objective() {
    double[] x = solution();
    double sum = 0;
    for (int j = 0; j < columns; j++) {
      sum += cost[j] * x[j];
    }
    return sum;
  }

  /** Optimises with perturbed costs only: enough between rounds of cuts. */
  Status resolve(int pivotLimit) {
    if (!perturbed) {
      perturbed = true;
      t.setReducedCosts(totalCosts());
      if (!primal(pivotLimit)) {
        return Status.STALLED;
      }
    }
    int limit = pivots + pivotLimit;
    int sinceRebuild = 0;
    while (pivots < limit) {
      if (sinceRebuild >= REBUILD_AFTER) {
        rebuild();
        sinceRebuild = 0;
      }
      int r = leavingRow();
      if (r < 0) {
        return Status.OPTIMAL;
      }
      if (!dualStep(r)) {
        if (sinceRebuild == 0) {
          return Status.INFEASIBLE;
        }
        rebuild();
        sinceRebuild = 0;
        continue;
      }
      sinceRebuild++;
    }
    return Status.STALLED;
  }

  /** Optimises to the true costs from a freshly built tableau. */
  Status solve(int pivotLimit) {
    Status status = resolve(pivotLimit);
    if (status != Status.OPTIMAL) {
      return status;
    }
    rebuild();
    status = resolve(pivotLimit);
    if (status != Status.OPTIMAL) {
      return status;
    }
    perturbed = false;
    t.setReducedCosts(cost);
    return primal(pivotLimit) ? Status.OPTIMAL : Status.STALLED;
  }

  private double[] totalCosts() {
    if (!perturbed) {
      return cost;
    }
    double[] c = cost.clone();
    for (int j = 0; j < columns; j++) {
      c[j] += perturbation[j];
    }
    return c;
  }

  private void rebuild() {
    t.rebuild();
    t.setReducedCosts(totalCosts());
    for (int k = 0; k < columns; k++) {
      // What rounding or a shifted cost left dual infeasible goes to its other bound.
      double lo = lowerOf(t.nonbasic[k]);
      double hi = upperOf(t.nonbasic[k]);
      double value = t.nonbasicValue[k];
      if (value != lo && value != hi && !(Double.isInfinite(lo) && Double.isInfinite(hi))) {
        t.moveNonbasic(k, Double.isInfinite(lo) ? hi : lo);
      }
      if (t.reduced[k] > DUAL_TOLERANCE && t.nonbasicValue[k] != lo && !Double.isInfinite(lo)) {
        t.moveNonbasic(k, lo);
      } else if (t.reduced[k] < -DUAL_TOLERANCE
          && t.nonbasicValue[k] != hi
          && !Double.isInfinite(hi)) {
        t.moveNonbasic(k, hi);
      }
    }
  }

  private double lowerOf(int variable) {
    return variable < columns ? lower[variable] : 0;
  }

  private double upperOf(int variable) {
    return variable < columns ? upper[variable] : Double.POSITIVE_INFINITY;
  }

  private int leavingRow() {
    int best = -1;
    double bestScore = -1;
    for (int i = 0; i < t.rows; i++) {
      double v = t.basicValue[i];
      int variable = t.basic[i];
      double infeasibility = Math.max(lowerOf(variable) - v, v - upperOf(variable));
      if (infeasibility > PRIMAL_TOLERANCE * (1 + Math.abs(v))) {
        double score = infeasibility * infeasibility / t.weight[i];
        if (score > bestScore) {
          bestScore = score;
          best = i;
        }
      }
    }
    return best;
  }

  /** One dual pivot with the given leaving row; false if nothing can enter. */
  private boolean dualStep(int r) {
    int variable = t.basic[r];
    double v = t.basicValue[r];
    boolean rises = v < lowerOf(variable);
    double bound = rises ? lowerOf(variable) : upperOf(variable);
    double[] row = t.row(r);
    boolean[] passed = new boolean[columns];
    double slope = Math.abs(bound - v);
    int k = -1;
    while (true) {
      int next = ratioTest(row, rises, passed);
      if (next < 0) {
        break;
      }
      k = next;
      int entering = t.nonbasic[k];
      double span = upperOf(entering) - lowerOf(entering);
      slope -= Math.abs(row[k]) * span;
      if (!(slope > 0)) {
        break;
      }
      passed[k] = true;
    }
    if (k < 0) {
      return false;
    }
    passed[k] = false;
    for (int l = 0; l < columns; l++) {
      if (passed[l]) {
        int flipped = t.nonbasic[l];
        double lo = lowerOf(flipped);
        t.moveNonbasic(l, t.nonbasicValue[l] == lo ? upperOf(flipped) : lo);
      }
    }
    t.pivot(r, k, bound);
    repairSigns();
    pivots++;
    return true;
  }

  /** The entering place by Harris's two passes: of the nearly smallest ratios the largest pivot. */
  private int ratioTest(double[] row, boolean rises, boolean[] passed) {
    double limit = Double.POSITIVE_INFINITY;
    for (int k = 0; k < columns; k++) {
      double a = rises ? row[k] : -row[k];
      if (!passed[k] && eligible(k, a)) {
        limit = Math.min(limit, (Math.abs(t.reduced[k]) + DUAL_TOLERANCE) / Math.abs(a));
      }
    }
    int best = -1;
    double bestPivot = 0;
    for (int k = 0; k < columns; k++) {
      double a = rises ? row[k] : -row[k];
      if (!passed[k]
          && eligible(k, a)
          && Math.abs(a) > bestPivot
          && Math.abs(t.reduced[k]) <= limit * Math.abs(a)) {
        bestPivot = Math.abs(a);
        best = k;
      }
    }
    return best;
  }

  /** Whether moving the nonbasic variable at k the way its bound allows raises the row's basic. */
  private boolean eligible(int k, double a) {
    if (Math.abs(a) < PIVOT_TOLERANCE) {
      return false;
    }
    int variable = t.nonbasic[k];
    double lo = lowerOf(variable);
    double hi = upperOf(variable);
    if (lo == hi) {
      return false;
    }
    double value = t.nonbasicValue[k];
    return a < 0 ? value < hi : value > lo;
  }

  /** Harris lets reduced costs slip through zero by a little; they are put back (cost shifting). */
  private void repairSigns() {
    for (int k = 0; k < columns; k++) {
      int variable = t.nonbasic[k];
      double lo = lowerOf(variable);
      double hi = upperOf(variable);
      if (lo < hi
          && ((t.reduced[k] < 0 && t.nonbasicValue[k] < hi)
              || (t.reduced[k] > 0 && t.nonbasicValue[k] > lo))) {
        t.reduced[k] = 0;
      }
    }
  }

  /** Primal simplex from a primal feasible basis; false if the limit was reached. */
  private boolean primal(int pivotLimit) {
    for (int step = 0; step < pivotLimit; step++) {
      int k = enteringPlace();
      if (k < 0) {
        return true;
      }
      boolean rises = t.reduced[k] < 0;
      primalStep(k, rises);
      pivots++;
      if (step % REBUILD_AFTER == REBUILD_AFTER - 1) {
        t.rebuild();
        t.setReducedCosts(totalCosts());
      }
    }
    return false;
  }

  private int enteringPlace() {
    int best = -1;
    double bestScore = DUAL_TOLERANCE;
    for (int k = 0; k < columns; k++) {
      int variable = t.nonbasic[k];
      double d = t.reduced[k];
      boolean improves =
          d < 0 ? t.nonbasicValue[k] < upperOf(variable) : t.nonbasicValue[k] > lowerOf(variable);
      if (improves && Math.abs(d) > bestScore) {
        bestScore = Math.abs(d);
        best = k;
      }
    }
    return best;
  }

  private void primalStep(int k, boolean rises) {
    int entering = t.nonbasic[k];
    double longest = upperOf(entering) - lowerOf(entering);
    int r = -1;
    double bestPivot = 0;
    for (int i = 0; i < t.rows; i++) {
      double a = rises ? t.row(i)[k] : -t.row(i)[k];
      if (Math.abs(a) < PIVOT_TOLERANCE) {
        continue;
      }
      double v = t.basicValue[i];
      double room = a > 0 ? v - lowerOf(t.basic[i]) : upperOf(t.basic[i]) - v;
      double step = Math.max(0, room) / Math.abs(a);
      boolean tie = step <= longest * (1 + 1e-12) && Math.abs(a) > bestPivot;
      if (step < longest * (1 - 1e-12) || (r >= 0 && tie)) {
        longest = Math.min(longest, step);
        bestPivot = Math.abs(a);
        r = i;
      }
    }
    if (r < 0) {
      t.moveNonbasic(k, rises ? upperOf(entering) : lowerOf(entering));
      return;
    }
    double a = rises ? t.row(r)[k] : -t.row(r)[k];
    t.pivot(r, k, a > 0 ? lowerOf(t.basic[r]) : upperOf(t.basic[r]));
  }
}
