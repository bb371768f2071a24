package org.fieldwright.core.history;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.TreeSet;
import java.util.stream.IntStream;
import org.ejml.data.DMatrixRMaj;
import org.ejml.dense.row.CommonOps_DDRM;
import org.ejml.dense.row.factory.LinearSolverFactory_DDRM;
import org.ejml.interfaces.linsol.LinearSolverDense;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.Term;
import org.fieldwright.core.history.ShapeChange.Outstanding;
import org.fieldwright.core.homogeneity.Limit;
import org.fieldwright.core.homogeneity.LimitSlope;
import org.fieldwright.core.uncertainty.Tails;
import org.jspecify.annotations.Nullable;

/**
 * Surveys in a row over which the shape of the field stayed, and a further one held against their
 * mean. Each term is averaged with weights 1/u² of its own; the covariance of that mean is exact
 * for those weights, whatever the terms' covariances are.
 */
final class ShapeRun {
  private static final double RIDGE = 1e-9; // of the mean variance, against rounding

  private final Scatter[] scatter; // by degree
  private final double widening;
  private final List<ShapeState> states = new ArrayList<>();

  /**
   * @param scatter that every visit adds, by degree
   * @param widening factor on every covariance, for what the scatter by degree leaves unexplained
   */
  ShapeRun(Scatter[] scatter, double widening) {
    this.scatter = scatter;
    this.widening = widening;
  }

  void add(ShapeState state) {
    states.add(state);
  }

  /** What a survey differs by, with everything that makes it uncertain. */
  @SuppressWarnings("ArrayRecordComponent") // lives for one judgement
  record Difference(int[] terms, double[] value, DMatrixRMaj covariance, double[] ownShare) {
    Difference ofDegree(int n) {
      int[] at = IntStream.range(0, terms.length).filter(i -> Term.at(terms[i]).n() == n).toArray();
      DMatrixRMaj block = new DMatrixRMaj(at.length, at.length);
      for (int i = 0; i < at.length; i++) {
        for (int j = 0; j < at.length; j++) {
          block.set(i, j, covariance.get(at[i], at[j]));
        }
      }
      return new Difference(
          IntStream.of(at).map(i -> terms[i]).toArray(),
          IntStream.of(at).mapToDouble(i -> value[i]).toArray(),
          block,
          IntStream.of(at).mapToDouble(i -> ownShare[i]).toArray());
    }
  }

  /**
   * A survey less the mean of the run.
   *
   * @param loaded what iron loaded since should have done; null for none
   */
  Difference difference(ShapeState now, @Nullable ShapeIron loaded) {
    TreeSet<Integer> common = new TreeSet<>(now.seen());
    states.forEach(s -> common.retainAll(s.seen()));
    int[] terms = common.stream().mapToInt(Integer::intValue).toArray();
    double[][] weights = new double[states.size()][terms.length];
    double[] value = new double[terms.length];
    double[] share = new double[terms.length];
    for (int i = 0; i < terms.length; i++) {
      weigh(terms[i], i, weights);
      double mean = loaded == null ? 0 : loaded.ppm().coefficient(terms[i]);
      double times = 1;
      for (int k = 0; k < weights.length; k++) {
        mean += weights[k][i] * states.get(k).ppm().coefficient(terms[i]);
        times += weights[k][i] * weights[k][i];
      }
      value[i] = now.ppm().coefficient(terms[i]) - mean;
      share[i] = times * scatterOf(terms[i]).variance();
    }
    DMatrixRMaj covariance = covariance(now, loaded, terms, weights);
    for (int i = 0; i < terms.length; i++) {
      covariance.add(i, i, share[i]);
      share[i] /= covariance.get(i, i);
    }
    CommonOps_DDRM.scale(widening, covariance);
    return new Difference(terms, value, covariance, share);
  }

  private Scatter scatterOf(int term) {
    return scatter[Term.at(term).n()];
  }

  private void weigh(int term, int i, double[][] weights) {
    double sum = 0;
    for (int k = 0; k < weights.length; k++) {
      weights[k][i] = 1 / (states.get(k).covariance(term, term) + scatterOf(term).variance());
      sum += weights[k][i];
    }
    for (double[] of : weights) {
      of[i] = Double.isInfinite(sum) ? 1.0 / weights.length : of[i] / sum;
    }
  }

  private DMatrixRMaj covariance(
      ShapeState now, @Nullable ShapeIron loaded, int[] terms, double[][] weights) {
    int p = terms.length;
    DMatrixRMaj sum = new DMatrixRMaj(p, p);
    for (int i = 0; i < p; i++) {
      for (int j = 0; j <= i; j++) {
        double c = now.covariance(terms[i], terms[j]);
        c += loaded == null ? 0 : loaded.covariance(terms[i], terms[j]);
        for (int k = 0; k < weights.length; k++) {
          c += weights[k][i] * weights[k][j] * states.get(k).covariance(terms[i], terms[j]);
        }
        sum.set(i, j, c);
        sum.set(j, i, c);
      }
    }
    return sum;
  }

  /** Whether a difference is more than chance; null where nothing is uncertain or comparable. */
  @Nullable ShapeChange judge(Difference d, int degree, double radius) {
    int p = d.terms.length;
    double trace = 0;
    for (int i = 0; i < p; i++) {
      trace += d.covariance.get(i, i);
    }
    if (!(trace > 0)) {
      return null;
    }
    DMatrixRMaj s = d.covariance.copy();
    for (int i = 0; i < p; i++) {
      s.add(i, i, RIDGE * trace / p);
    }
    LinearSolverDense<DMatrixRMaj> solver = LinearSolverFactory_DDRM.symmPosDef(p);
    if (!solver.setA(s)) {
      throw new IllegalStateException("the covariance of the difference is not positive definite");
    }
    DMatrixRMaj solved = new DMatrixRMaj(p, 1);
    solver.solve(new DMatrixRMaj(p, 1, true, d.value), solved);
    double misfit = 0;
    double[] difference = new double[Term.count(degree)];
    for (int i = 0; i < p; i++) {
      misfit += d.value[i] * solved.get(i);
      difference[d.terms[i]] = d.value[i];
    }
    double freedom = freedom(d);
    double chance = Tails.f(misfit / p, p, freedom);
    return new ShapeChange(
        new Expansion(radius, difference),
        misfit,
        p,
        freedom,
        chance,
        chance,
        chance <= MagnetLife.LEVEL,
        outstanding(d));
  }

  /**
   * A limit's plain measure on the survey, held against what it would be without the difference.
   */
  ScalarChange judge(Difference d, ShapeState now, Limit limit) {
    double[] c = now.ppm().coefficients();
    for (int i = 0; i < d.terms.length; i++) {
      c[d.terms[i]] -= d.value[i];
    }
    LimitSlope found = LimitSlope.of(now.ppm(), limit);
    LimitSlope expected = LimitSlope.of(new Expansion(now.ppm().referenceRadius(), c), limit);
    double[] g = new double[d.terms.length];
    for (int i = 0; i < g.length; i++) {
      g[i] = (found.gradient()[d.terms[i]] + expected.gradient()[d.terms[i]]) / 2;
    }
    double variance = 0;
    double[] own = new double[scatter.length];
    for (int i = 0; i < g.length; i++) {
      for (int j = 0; j < g.length; j++) {
        variance += g[i] * g[j] * d.covariance.get(i, j);
      }
      own[Term.at(d.terms[i]).n()] += g[i] * g[i] * d.ownShare[i] * d.covariance.get(i, i);
    }
    return ScalarChange.of(
        found.value(), expected.value(), Math.sqrt(variance), freedom(variance, own));
  }

  /**
   * Degrees of freedom of the whole, after Welch and Satterthwaite: the variance of the mean of the
   * terms' variances, of which the scatter's share alone is estimated.
   */
  private double freedom(Difference d) {
    double[] byDegree = new double[scatter.length];
    for (int i = 0; i < d.terms.length; i++) {
      byDegree[Term.at(d.terms[i]).n()] += d.ownShare[i] / d.terms.length;
    }
    return freedom(1, byDegree);
  }

  /** After Welch and Satterthwaite, of a variance and what each degree's scatter is of it. */
  private double freedom(double variance, double[] byDegree) {
    double sum = 0;
    for (int n = 1; n < byDegree.length; n++) {
      sum += byDegree[n] * byDegree[n] / scatter[n].degreesOfFreedom();
    }
    return sum > 0 ? variance * variance / sum : Double.POSITIVE_INFINITY;
  }

  private List<Outstanding> outstanding(Difference d) {
    double[] p = new double[d.terms.length];
    double[] u = new double[d.terms.length];
    for (int i = 0; i < p.length; i++) {
      u[i] = Math.sqrt(d.covariance.get(i, i));
      double freedom = scatterOf(d.terms[i]).degreesOfFreedom(d.ownShare[i]);
      p[i] = u[i] > 0 ? Tails.twoSided(d.value[i] / u[i], freedom) : 1;
    }
    double[] corrected = Holm.adjusted(p);
    List<Outstanding> list = new ArrayList<>();
    for (int i = 0; i < p.length; i++) {
      if (corrected[i] <= MagnetLife.LEVEL) {
        list.add(new Outstanding(Term.at(d.terms[i]), d.value[i], u[i], corrected[i]));
      }
    }
    list.sort(
        Comparator.comparingDouble(Outstanding::correctedChance)
            .thenComparing(o -> -Math.abs(o.differencePpm() / o.uncertainty())));
    return list;
  }
}
