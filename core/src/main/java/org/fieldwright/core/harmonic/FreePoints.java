package org.fieldwright.core.harmonic;

import java.util.Arrays;
import java.util.List;
import java.util.stream.IntStream;
import org.fieldwright.core.geometry.Vec3;
import org.jspecify.annotations.Nullable;

/**
 * A survey of many free points, fitted by its {@link PointMoments}: at any degree up to the
 * largest, with any points set aside, each fit in a few passes over the points and without a matrix
 * of them.
 *
 * <p>Setting a point aside takes it out of the moments, which is the same as never having read it.
 * Not thread-safe.
 */
public final class FreePoints {
  /** With less redundancy a reading alone holds a term: what it has is rounding. */
  private static final double ALONE = 1e-10;

  /** Corrections stop at this share of the largest coefficient, or after so many steps. */
  private static final double CORRECTED = 1e-12;

  private static final int MOST_STEPS = 3;

  /** Points whose harmonics are at hand at once. */
  private static final int TOGETHER = 16;

  private final Sampling sampling;
  private final double[] values;
  private final double referenceRadius;
  private final HarmonicProducts products;
  private final PointMoments moments;
  private final boolean[] aside;

  /**
   * @param values of each point, ppm (or any unit; results carry the same)
   * @param degree the largest to be fitted
   * @param referenceRadius R0, m
   */
  public FreePoints(Sampling sampling, double[] values, int degree, double referenceRadius) {
    this.sampling = sampling;
    this.values = values.clone();
    this.referenceRadius = referenceRadius;
    products = new HarmonicProducts(degree);
    moments = new PointMoments(degree, referenceRadius);
    aside = new boolean[values.length];
    for (int i = 0; i < values.length; i++) {
      moments.add(sampling.point(i), weight(i), values[i]);
    }
  }

  private double weight(int row) {
    return sampling.rootWeight(row) * sampling.rootWeight(row);
  }

  public Sampling sampling() {
    return sampling;
  }

  public boolean isSetAside(int row) {
    return aside[row];
  }

  /** Sets a point aside. */
  public void setAside(int row) {
    if (!aside[row]) {
      moments.remove(sampling.point(row), weight(row), values[row]);
      aside[row] = true;
    }
  }

  /** Takes a point back. */
  public void restore(int row) {
    if (aside[row]) {
      moments.add(sampling.point(row), weight(row), values[row]);
      aside[row] = false;
    }
  }

  /** The fit of the points not set aside. */
  public PointFit fit(int degree) {
    MomentFit normal = new MomentFit(moments, products, degree);
    return finish(normal, normal.leverage(), null);
  }

  /**
   * The same with the leverages of a fit of the same degree before a few more points were set aside
   * or restored: less exact, and twice as fast.
   */
  public PointFit like(PointFit before) {
    MomentFit normal = new MomentFit(moments, products, before.degree());
    return finish(normal, null, before.leverages());
  }

  private PointFit finish(
      MomentFit normal, @Nullable PolynomialSum polynomial, double @Nullable [] known) {
    double[] coefficients = coefficients(normal);
    int highest = polynomial == null ? normal.degree() : 2 * normal.degree();
    SolidHarmonics basis = new SolidHarmonics(highest, referenceRadius);
    double[] h = new double[basis.count()];
    double[] error = new double[values.length];
    double[] leverage = known == null ? new double[values.length] : known;
    for (int i = 0; i < values.length; i++) {
      Vec3 p = sampling.point(i);
      basis.evaluate(p.x(), p.y(), p.z(), h, 0);
      double fitted = Combinations.product(coefficients, h, coefficients.length);
      error[i] = sampling.rootWeight(i) * (values[i] - fitted);
      if (polynomial != null) {
        leverage[i] = weight(i) * polynomial.at(h, PointMoments.square(p, referenceRadius));
      }
    }
    return new PointFit(sampling, normal, coefficients, aside.clone(), error, leverage);
  }

  private double[] coefficients(MomentFit normal) {
    double[] coefficients = normal.solve(moments);
    for (int step = 0; step < MOST_STEPS; step++) {
      CorrectionStep correction = new CorrectionStep(normal, coefficients);
      for (int i : used()) {
        correction.add(sampling.point(i), weight(i), values[i]);
      }
      double[] corrected = correction.coefficients();
      double change = 0;
      double largest = 0;
      for (int k = 0; k < corrected.length; k++) {
        change = Math.max(change, Math.abs(corrected[k] - coefficients[k]));
        largest = Math.max(largest, Math.abs(corrected[k]));
      }
      coefficients = corrected;
      if (change <= CORRECTED * largest) {
        break;
      }
    }
    return coefficients;
  }

  /** How well every degree from 0 up to one predicts the points not set aside. */
  public List<DegreeLadder.Rung> ladder(int highest) {
    MomentFit normal = new MomentFit(moments, products, highest);
    double[][] coefficients = ofEveryDegree(normal);
    List<PolynomialSum> leverages = normal.leverages();
    SolidHarmonics basis = new SolidHarmonics(2 * highest, referenceRadius);
    double[][] h = new double[TOGETHER][basis.count()];
    double[] press = new double[highest + 1];
    int[] readings = new int[highest + 1];
    int[] used = used();
    for (int from = 0; from < used.length; from += TOGETHER) {
      int to = Math.min(from + TOGETHER, used.length);
      for (int i = from; i < to; i++) {
        Vec3 p = sampling.point(used[i]);
        basis.evaluate(p.x(), p.y(), p.z(), h[i - from], 0);
      }
      for (int n = 0; n <= highest; n++) { // its polynomial stays in the cache for some points
        for (int i = from; i < to; i++) {
          Double out = leftOut(used[i], h[i - from], coefficients[n], leverages.get(n));
          press[n] += out == null ? 0 : out * out;
          readings[n] += out == null ? 0 : 1;
        }
      }
    }
    return IntStream.rangeClosed(0, highest)
        .mapToObj(n -> new DegreeLadder.Rung(n, press[n], readings[n]))
        .toList();
  }

  private int[] used() {
    return IntStream.range(0, aside.length).filter(i -> !aside[i]).toArray();
  }

  /** Weighted leave-one-out residual of a point; null where it alone holds a term. */
  private @Nullable Double leftOut(
      int row, double[] h, double[] coefficients, PolynomialSum leverage) {
    double square = PointMoments.square(sampling.point(row), referenceRadius);
    double redundancy = 1 - weight(row) * leverage.at(h, square);
    double fitted = Combinations.product(coefficients, h, coefficients.length);
    return redundancy > ALONE
        ? (Double) (sampling.rootWeight(row) * (values[row] - fitted) / redundancy)
        : null;
  }

  /** The coefficients of the fit of every degree, corrected once. */
  private double[][] ofEveryDegree(MomentFit normal) {
    CorrectionStep[] steps = new CorrectionStep[normal.degree() + 1];
    for (int n = 0; n < steps.length; n++) {
      steps[n] = new CorrectionStep(normal, normal.solve(moments.values(n), n));
    }
    SolidHarmonics basis = new SolidHarmonics(normal.degree(), referenceRadius);
    double[] h = new double[basis.count()];
    for (int i : used()) {
      Vec3 p = sampling.point(i);
      basis.evaluate(p.x(), p.y(), p.z(), h, 0);
      for (CorrectionStep step : steps) {
        step.add(h, weight(i), values[i]);
      }
    }
    return Arrays.stream(steps).map(CorrectionStep::coefficients).toArray(double[][]::new);
  }
}
