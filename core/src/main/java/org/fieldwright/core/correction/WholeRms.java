package org.fieldwright.core.correction;

import java.util.Arrays;
import java.util.SplittableRandom;
import java.util.stream.IntStream;
import org.ejml.data.DMatrixRMaj;
import org.ejml.dense.row.factory.DecompositionFactory_DDRM;
import org.ejml.interfaces.decomposition.CholeskyDecomposition_F64;
import org.fieldwright.core.Progress;
import org.fieldwright.core.Vectors;

/**
 * Whole-number values of least mean square: descent by whole steps of one column and by steps of
 * two at once, all of them looked at, then again and again from a plan that was shaken a little. On
 * the matrix of the columns' products a step costs one pass over a row.
 */
final class WholeRms {
  private static final int FEWEST_SHAKEN = 3;
  private static final int MOST_SHAKEN = 12;
  private static final int RELAXED_STEPS = 1000;
  private static final double LEAST_GAIN = 1e-12;
  private static final double[] STIFFNESS = {1e-2, 1e-3, 1e-4, 1e-5, 1e-6};

  private final ShimProblem problem;
  private final ColumnSquare square;
  private final int n;
  private final double[][] product;
  private final int[][] capsOf;
  private long iterations;

  /**
   * @param square the mean square that counts
   */
  WholeRms(ShimProblem problem, ColumnSquare square) {
    this.problem = problem;
    this.square = square;
    this.product = square.product();
    this.n = product.length;
    capsOf = new int[n][];
    for (int j = 0; j < n; j++) {
      int column = j;
      capsOf[j] =
          IntStream.range(0, problem.caps().size())
              .filter(
                  k -> Arrays.stream(problem.caps().get(k).columns()).anyMatch(i -> i == column))
              .toArray();
    }
  }

  /** Values, their mean square and what goes with them. */
  private final class State {
    final double[] x;
    final double[] slope;
    final double[] capSum;
    double square;

    State(double[] values) {
      x = values.clone();
      slope = WholeRms.this.square.slope().clone();
      for (int j = 0; j < n; j++) {
        Vectors.add(slope, x[j], product[j]);
      }
      square = WholeRms.this.square.of(x);
      capSum = problem.caps().stream().mapToDouble(c -> c.sum(x)).toArray();
    }

    State(State other) {
      x = other.x.clone();
      slope = other.slope.clone();
      capSum = other.capSum.clone();
      square = other.square;
    }

    double gain(int j, double step) {
      return step * (2 * slope[j] + step * product[j][j]);
    }

    boolean allows(int j, double step, int k, double otherStep) {
      if (!within(j, step) || (k >= 0 && !within(k, otherStep))) {
        return false;
      }
      for (int cap : capsOf[j]) {
        if (beyond(cap, weight(cap, j) * step + (k < 0 ? 0 : weight(cap, k) * otherStep))) {
          return false;
        }
      }
      if (k >= 0) {
        for (int cap : capsOf[k]) {
          if (beyond(cap, weight(cap, j) * step + weight(cap, k) * otherStep)) {
            return false;
          }
        }
      }
      return true;
    }

    private boolean within(int j, double step) {
      return x[j] + step >= problem.lower()[j] && x[j] + step <= problem.upper()[j];
    }

    private boolean beyond(int cap, double more) {
      return more > 0 && capSum[cap] + more > problem.caps().get(cap).limit();
    }

    void move(int j, double step) {
      square += gain(j, step);
      x[j] += step;
      Vectors.add(slope, step, product[j]);
      for (int cap : capsOf[j]) {
        capSum[cap] += weight(cap, j) * step;
      }
    }
  }

  private double weight(int cap, int column) {
    ShimProblem.Cap c = problem.caps().get(cap);
    for (int k = 0; k < c.columns().length; k++) {
      if (c.columns()[k] == column) {
        return c.weights()[k];
      }
    }
    return 0;
  }

  /**
   * The best values found.
   *
   * @param start near which to begin; fractions allowed
   * @param mostIterations shakings; the progress may stop it before
   */
  double[] run(double[] start, long mostIterations, long seed, Progress progress) {
    SplittableRandom random = new SplittableRandom(seed);
    State best = new State(begin(relaxed(start, progress)));
    descend(best, Progress.NONE); // soon done, and without it no plan
    while (iterations < mostIterations && !progress.shouldStop()) {
      iterations++;
      State shaken = new State(best);
      int count = FEWEST_SHAKEN + random.nextInt(MOST_SHAKEN - FEWEST_SHAKEN + 1);
      for (int k = 0; k < count; k++) {
        int j = random.nextInt(n);
        double step = random.nextBoolean() ? 1 : -1;
        if (shaken.allows(j, step, -1, 0)) {
          shaken.move(j, step);
        }
      }
      descend(shaken, progress);
      if (shaken.square < best.square) {
        best = shaken;
      }
      progress.report("whole pieces", Double.NaN, Math.sqrt(Math.max(0, best.square)));
    }
    return best.x;
  }

  long iterations() {
    return iterations;
  }

  /** The same with fractions, caps apart. */
  private double[] relaxed(double[] start, Progress progress) {
    return new ProjectedDescent(
            (x, gradient) -> {
              for (int j = 0; j < n; j++) {
                gradient[j] = 2 * (square.slope()[j] + Vectors.dot(product[j], x));
              }
              return square.of(x);
            },
            problem.lower(),
            problem.upper())
        .run(start, RELAXED_STEPS, progress);
  }

  /** Whole numbers near the start that keep everything; nothing changed where none do. */
  private double[] begin(double[] start) {
    double[] best = new double[n];
    double bestSquare = square.of(best);
    double strongest = 0;
    for (int j = 0; j < n; j++) {
      strongest = Math.max(strongest, product[j][j]);
    }
    for (double stiffness : STIFFNESS) {
      double[] x = nearestPlane(start, stiffness * strongest);
      double now = square.of(x);
      if (now < bestSquare && keepsCaps(x)) {
        best = x;
        bestSquare = now;
      }
    }
    return best;
  }

  private boolean keepsCaps(double[] x) {
    return problem.caps().stream().allMatch(c -> c.sum(x) <= c.limit());
  }

  /**
   * Rounds one column after the other, the strongest first, with those still free making up for it
   * (Babai's nearest plane, Combinatorica 6 (1986) 1).
   *
   * @param stiffness price on how far those still free go, which have bounds
   */
  private double[] nearestPlane(double[] start, double stiffness) {
    Integer[] order = new Integer[n];
    Arrays.setAll(order, j -> j);
    Arrays.sort(order, (a, b) -> Double.compare(product[a][a], product[b][b]));
    DMatrixRMaj m = new DMatrixRMaj(n, n);
    for (int a = 0; a < n; a++) {
      for (int b = 0; b < n; b++) {
        m.set(a, b, product[order[a]][order[b]] + (a == b ? stiffness : 0));
      }
    }
    CholeskyDecomposition_F64<DMatrixRMaj> cholesky = DecompositionFactory_DDRM.chol(n, false);
    if (!cholesky.decompose(m)) {
      return new double[n];
    }
    DMatrixRMaj r = cholesky.getT(null);
    double[] x = new double[n];
    double[] off = new double[n];
    for (int a = n - 1; a >= 0; a--) {
      double pull = 0;
      for (int b = a + 1; b < n; b++) {
        pull += r.get(a, b) * off[b];
      }
      int j = order[a];
      double whole = Math.rint(start[j] - pull / r.get(a, a));
      x[j] = Math.max(problem.lower()[j], Math.min(problem.upper()[j], whole));
      off[a] = x[j] - start[j];
    }
    return x;
  }

  private void descend(State s, Progress progress) {
    while (!progress.shouldStop() && (single(s) || pair(s))) {
      // goes on while something gains
    }
  }

  /** Takes the whole step of one column that gains most. */
  private boolean single(State s) {
    int best = -1;
    double bestStep = 0;
    double bestGain = -LEAST_GAIN * Math.max(1, s.square);
    for (int j = 0; j < n; j++) {
      double whole = Math.rint(-s.slope[j] / product[j][j]);
      double step =
          Math.max(problem.lower()[j] - s.x[j], Math.min(problem.upper()[j] - s.x[j], whole));
      if (step != 0 && s.gain(j, step) < bestGain && s.allows(j, step, -1, 0)) {
        bestGain = s.gain(j, step);
        best = j;
        bestStep = step;
      }
    }
    if (best >= 0) {
      s.move(best, bestStep);
    }
    return best >= 0;
  }

  /** Takes the steps of one in two columns that gain most together. */
  private boolean pair(State s) {
    int first = -1;
    int second = -1;
    int firstStep = 0;
    int secondStep = 0;
    double bestGain = -LEAST_GAIN * Math.max(1, s.square);
    for (int j = 0; j < n; j++) {
      double[] row = product[j];
      for (int up = -1; up <= 1; up += 2) {
        double alone = s.gain(j, up);
        for (int k = 0; k < j; k++) {
          double left = s.slope[k] + up * row[k]; // what the first step leaves of the slope
          int down = left > 0 ? -1 : 1;
          double gain = alone + down * (2 * left + down * product[k][k]);
          if (gain < bestGain && s.allows(j, up, k, down)) {
            bestGain = gain;
            first = j;
            second = k;
            firstStep = up;
            secondStep = down;
          }
        }
      }
    }
    if (first >= 0) {
      s.move(first, firstStep);
      s.move(second, secondStep);
    }
    return first >= 0;
  }
}
