package org.fieldwright.core.correction;

import java.util.ArrayDeque;
import java.util.Deque;
import java.util.Iterator;
import org.fieldwright.core.Progress;
import org.fieldwright.core.Vectors;

/**
 * Minimises a smooth function of variables with bounds: limited-memory BFGS (Nocedal and Wright
 * 2006, 7.4) on the variables that no bound holds, along a path that is projected on the bounds
 * (Bertsekas 1982).
 */
final class ProjectedDescent {
  private static final int MEMORY = 20;
  private static final double SUFFICIENT = 1e-4;
  private static final int MOST_HALVINGS = 20;
  private static final double SETTLED = 1e-8;

  /** A function and its gradient. */
  interface Objective {
    /** The value at x; the gradient is written. */
    double at(double[] x, double[] gradient);
  }

  /** A step and the change of gradient along it. */
  @SuppressWarnings("ArrayRecordComponent") // lives within one descent
  private record Pair(double[] s, double[] y, double sy) {}

  private final Objective objective;
  private final double[] lower;
  private final double[] upper;
  private final Deque<Pair> pairs = new ArrayDeque<>();

  ProjectedDescent(Objective objective, double[] lower, double[] upper) {
    this.objective = objective;
    this.lower = lower;
    this.upper = upper;
  }

  /** Improves x until it hardly moves, the steps are used up or the progress says stop. */
  double[] run(double[] start, int mostSteps, Progress progress) {
    int n = start.length;
    double[] x = projected(start, new double[n], 0);
    double[] gradient = new double[n];
    double value = objective.at(x, gradient);
    for (int step = 0; step < mostSteps && !progress.shouldStop(); step++) {
      double[] direction = direction(x, gradient);
      double length = pairs.isEmpty() ? firstLength(direction) : 1;
      double[] nextGradient = new double[n];
      double[] next = x;
      double nextValue = value;
      for (int k = 0; k < MOST_HALVINGS; k++, length /= 2) {
        double[] candidate = projected(x, direction, length);
        double v = objective.at(candidate, nextGradient);
        if (v <= value + SUFFICIENT * Vectors.dot(gradient, minus(candidate, x))) {
          next = candidate;
          nextValue = v;
          break;
        }
      }
      if (next == x) {
        if (pairs.isEmpty()) {
          return x;
        }
        pairs.clear(); // a poor model of the curvature: start from the slope alone
        continue;
      }
      remember(minus(next, x), minus(nextGradient, gradient));
      boolean settled = value - nextValue < SETTLED * Math.abs(value);
      x = next;
      value = nextValue;
      gradient = nextGradient;
      if (settled) {
        return x;
      }
    }
    return x;
  }

  private void remember(double[] s, double[] y) {
    double sy = Vectors.dot(s, y);
    if (sy > 1e-10 * Math.sqrt(Vectors.dot(s, s) * Vectors.dot(y, y))) {
      pairs.addFirst(new Pair(s, y, sy));
      if (pairs.size() > MEMORY) {
        pairs.removeLast();
      }
    }
  }

  /** Downhill by the model of the curvature; 0 for variables that their bound holds. */
  private double[] direction(double[] x, double[] gradient) {
    double[] q = gradient.clone();
    hold(x, gradient, q);
    double[] share = new double[pairs.size()];
    int i = 0;
    for (Pair p : pairs) {
      share[i] = Vectors.dot(p.s, q) / p.sy;
      Vectors.add(q, -share[i++], p.y);
    }
    if (!pairs.isEmpty()) {
      Pair last = pairs.getFirst();
      double scale = last.sy / Vectors.dot(last.y, last.y);
      for (int k = 0; k < q.length; k++) {
        q[k] *= scale;
      }
    }
    for (Iterator<Pair> back = pairs.descendingIterator(); back.hasNext(); ) {
      Pair p = back.next();
      i--;
      Vectors.add(q, share[i] - Vectors.dot(p.y, q) / p.sy, p.s);
    }
    hold(x, gradient, q);
    if (Vectors.dot(q, gradient) <= 0) {
      System.arraycopy(gradient, 0, q, 0, q.length);
      hold(x, gradient, q);
    }
    for (int k = 0; k < q.length; k++) {
      q[k] = -q[k];
    }
    return q;
  }

  private void hold(double[] x, double[] gradient, double[] direction) {
    for (int k = 0; k < x.length; k++) {
      if ((x[k] <= lower[k] && gradient[k] > 0) || (x[k] >= upper[k] && gradient[k] < 0)) {
        direction[k] = 0;
      }
    }
  }

  /** So that the first step moves the variable that moves most by one. */
  private static double firstLength(double[] direction) {
    double most = 0;
    for (double d : direction) {
      most = Math.max(most, Math.abs(d));
    }
    return most > 0 ? 1 / most : 1;
  }

  private double[] projected(double[] x, double[] direction, double length) {
    double[] y = new double[x.length];
    for (int k = 0; k < y.length; k++) {
      y[k] = Math.max(lower[k], Math.min(upper[k], x[k] + length * direction[k]));
    }
    return y;
  }

  private static double[] minus(double[] a, double[] b) {
    double[] c = a.clone();
    Vectors.add(c, -1, b);
    return c;
  }
}
