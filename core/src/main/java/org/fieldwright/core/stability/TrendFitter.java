package org.fieldwright.core.stability;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Objects;
import org.jspecify.annotations.Nullable;

/**
 * Fits the forms of trend to a log and compares them. A decay is found by {@link SeparableFit} on
 * fine blocks from a grid of time constants, then refined under the log's own noise by {@link
 * CorrelatedRegression} on coarse blocks, together with the steps and the surroundings.
 */
final class TrendFitter {
  /**
   * Schwarz's criterion must be this much better to prefer a decay ("strong", Kass and Raftery).
   */
  private static final double STRONG = 6;

  /** Blocks below which a decay cannot be told from a slope with noise. */
  private static final int FEWEST_FOR_DECAY = 24;

  private static final int COARSE = 96;
  private static final int GRID = 14;
  private static final int REFINEMENTS = 4;

  private final Blocks fine;
  private final CorrelatedRegression regression;
  private final double[] stepTimes;
  private final double length;
  private final double interval;

  /**
   * On blocks.
   *
   * @param stepTimes s, one for each step between the blocks' segments
   * @param length of the log, s
   */
  TrendFitter(Blocks fine, double[] stepTimes, double length, double interval) {
    this.fine = fine;
    this.stepTimes = stepTimes;
    this.length = length;
    this.interval = interval;
    this.regression = new CorrelatedRegression(fine.merged(COARSE + 2 * stepTimes.length));
  }

  /** The same for the later part of the log; steps before it are gone. */
  TrendFitter since(double start) {
    Blocks later = fine.since(start);
    double[] steps = Arrays.stream(stepTimes).filter(t -> t > later.centre(0)).toArray();
    return new TrendFitter(later, steps, length, interval);
  }

  int steps() {
    return stepTimes.length;
  }

  /** Averages a column given at the fine blocks over the coarse ones. */
  double[] coarse(double[] column) {
    return fine.withValues(column).merged(COARSE + 2 * stepTimes.length).means();
  }

  Blocks fine() {
    return fine;
  }

  /** Number of coarse blocks. */
  int blocks() {
    return regression.blocks().size();
  }

  /** All forms that the log can carry, the preferred one first. */
  List<Candidate> fitAll(double[][] surroundings) {
    List<Candidate> all = new ArrayList<>();
    all.add(refine(Trend.Kind.LINEAR, line(), new double[2], new double[0], surroundings));
    if (regression.blocks().size() >= FEWEST_FOR_DECAY + stepTimes.length) {
      addDecay(all, Trend.Kind.EXPONENTIAL, surroundings);
      addDecay(all, Trend.Kind.TWO_EXPONENTIALS, surroundings);
      addDecay(all, Trend.Kind.LOGARITHMIC, surroundings);
    }
    return preferred(all);
  }

  /** Repeats one form with other surroundings. */
  Candidate refit(Candidate c, double[][] surroundings) {
    return refine(c.kind, c.model, c.coefficients, c.shapes, surroundings);
  }

  private SeparableModel line() {
    return new StraightLine(length / 2);
  }

  private void addDecay(List<Candidate> all, Trend.Kind kind, double[][] surroundings) {
    SeparableModel model =
        switch (kind) {
          case EXPONENTIAL -> new ExponentialSum(1, true);
          case TWO_EXPONENTIALS -> new ExponentialSum(2, true);
          case LOGARITHMIC -> new LogarithmicDecay();
          case LINEAR -> line();
        };
    double[] start = bestStart(model, kind);
    SeparableFit fit = separable(model, start);
    if (!inside(fit.shapes(), kind)) {
      return;
    }
    double[] c = Arrays.copyOf(fit.coefficients(), model.functions());
    Candidate candidate = refine(kind, model, c, fit.shapes(), surroundings);
    if (inside(candidate.shapes, kind)) {
      all.add(candidate);
    }
  }

  private SeparableFit separable(SeparableModel model, double[] start) {
    SeparableModel stepped = new SteppedModel(model, stepTimes);
    return new SeparableFit(stepped, fine.centres(), fine.means(), weights(), start, 1);
  }

  private double[] weights() {
    double[] weights = new double[fine.size()];
    for (int i = 0; i < weights.length; i++) {
      weights[i] = Math.sqrt(fine.count(i));
    }
    return weights;
  }

  /** Shortest and longest time that the log can show: two intervals, five logs. */
  private boolean inside(double[] shapes, Trend.Kind kind) {
    for (double s : shapes) {
      double time = Math.exp(kind == Trend.Kind.LOGARITHMIC ? s : -s);
      if (!(time > 2 * interval && time < 5 * length)) {
        return false;
      }
    }
    return kind != Trend.Kind.TWO_EXPONENTIALS || Math.abs(shapes[0] - shapes[1]) > 0.3;
  }

  private double[] bestStart(SeparableModel model, Trend.Kind kind) {
    double[] times = new double[GRID];
    double shortest = Math.max(2 * interval, length / 500);
    for (int k = 0; k < GRID; k++) {
      times[k] = shortest * Math.pow(3 * length / shortest, k / (GRID - 1.0));
    }
    int sign = kind == Trend.Kind.LOGARITHMIC ? 1 : -1;
    SeparableModel stepped = new SteppedModel(model, stepTimes);
    double[] best = new double[model.shapes()];
    double least = Double.POSITIVE_INFINITY;
    for (int i = 0; i < GRID; i++) {
      int last = model.shapes() == 2 ? GRID : i + 2;
      for (int j = i + 1; j < last; j++) {
        double second = j < GRID ? sign * Math.log(times[j]) : 0;
        double[] shapes =
            Arrays.copyOf(new double[] {sign * Math.log(times[i]), second}, model.shapes());
        double squares =
            SeparableFit.squaresAt(stepped, fine.centres(), fine.means(), weights(), shapes);
        if (squares < least) {
          least = squares;
          best = shapes;
        }
      }
    }
    return best;
  }

  private Candidate refine(
      Trend.Kind kind,
      SeparableModel model,
      double[] startCoefficients,
      double[] startShapes,
      double[][] surroundings) {
    double[] c = startCoefficients.clone();
    double[] shapes = startShapes.clone();
    CorrelatedRegression.Fit fit = null;
    for (int round = 0; round == 0 || (shapes.length > 0 && round < REFINEMENTS); round++) {
      fit = regression.fit(columns(model, c, shapes, surroundings), coarse(fine.means()));
      for (int k = 0; k < c.length; k++) {
        c[k] = fit.coefficient(k);
      }
      for (int q = 0; q < shapes.length; q++) {
        shapes[q] += Math.max(-0.5, Math.min(0.5, fit.coefficient(c.length + q)));
      }
    }
    return new Candidate(kind, model, c, shapes, fit);
  }

  /** Trend, steps, surroundings: averaged over the coarse blocks. */
  private double[][] columns(
      SeparableModel model, double[] c, double[] shapes, double[][] surroundings) {
    int p = c.length + shapes.length;
    double[][] columns = new double[p + stepTimes.length + surroundings.length][fine.size()];
    for (int i = 0; i < fine.size(); i++) {
      double[] gradient = Trend.gradient(model, c, shapes, fine.centre(i));
      for (int k = 0; k < p; k++) {
        columns[k][i] = gradient[k];
      }
      for (int s = 0; s < stepTimes.length; s++) {
        columns[p + s][i] = fine.centre(i) >= stepTimes[s] ? 1 : 0;
      }
    }
    System.arraycopy(surroundings, 0, columns, p + stepTimes.length, surroundings.length);
    for (int k = 0; k < columns.length; k++) {
      columns[k] = coarse(columns[k]);
    }
    return columns;
  }

  /** Decays come first only where the evidence for them is strong. */
  private static List<Candidate> preferred(List<Candidate> all) {
    Candidate best = all.get(0);
    for (Candidate c : all) {
      boolean simplerNow = best.terms() < c.terms();
      if (c.bic() < best.bic() - (simplerNow ? STRONG : 0)) {
        best = c;
      }
    }
    List<Candidate> order = new ArrayList<>(all);
    order.remove(best);
    order.add(0, best);
    return order;
  }

  /** A fitted form. */
  static final class Candidate {
    private final Trend.Kind kind;
    private final SeparableModel model;
    private final double[] coefficients;
    private final double[] shapes;
    private final CorrelatedRegression.Fit fit;

    Candidate(
        Trend.Kind kind,
        SeparableModel model,
        double[] coefficients,
        double[] shapes,
        CorrelatedRegression.@Nullable Fit fit) {
      this.kind = kind;
      this.model = model;
      this.coefficients = coefficients;
      this.shapes = shapes;
      this.fit = Objects.requireNonNull(fit);
    }

    Trend.Kind kind() {
      return kind;
    }

    CorrelatedRegression.Fit fit() {
      return fit;
    }

    int terms() {
      return coefficients.length + shapes.length;
    }

    double bic() {
      return fit.bic(0);
    }

    /** Height of the s-th step, ppm. */
    Estimate step(int s) {
      return new Estimate(fit.coefficient(terms() + s), fit.uncertainty(terms() + s));
    }

    Trend trend() {
      int p = terms();
      double[] covariance = new double[p * p];
      for (int i = 0; i < p; i++) {
        for (int j = 0; j < p; j++) {
          covariance[i * p + j] = fit.covariance(i, j);
        }
      }
      return new Trend(kind, model, coefficients, shapes, covariance);
    }
  }
}
