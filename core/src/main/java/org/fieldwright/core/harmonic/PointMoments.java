package org.fieldwright.core.harmonic;

import java.util.Arrays;
import org.fieldwright.core.geometry.Vec3;

/**
 * All that a fit of solid harmonics to free points takes from them, gathered in one pass: Σ w
 * ρ^(2j) T_LM for L + 2j ≤ 2N, of which every product Σ w T_a T_b is a combination ({@link
 * HarmonicProducts}), and Σ w y T_a. That is C(2N + 3, 3) + (N + 1)² numbers however many points
 * there are: 12,782 for degree 20, and as many multiplications a point, where the products alone
 * would take 97,461. A point is taken away again by its weight with the other sign.
 *
 * <p>The moments of a lower degree are among these. Not thread-safe.
 */
public final class PointMoments {
  /** Points whose harmonics go into the moments together: they stay in the processor's cache. */
  private static final int TOGETHER = 16;

  private final int degree;
  private final SolidHarmonics basis;
  private final double[][] sums;
  private final double[] values;
  private final double[][] harmonics;
  private final double[] square = new double[TOGETHER];
  private final double[] factor = new double[TOGETHER];
  private final double[] weightedValue = new double[TOGETHER];
  private int waiting;
  private long points;

  /**
   * @param degree N of the fit
   * @param referenceRadius R0, m
   */
  public PointMoments(int degree, double referenceRadius) {
    this.degree = degree;
    basis = new SolidHarmonics(2 * degree, referenceRadius);
    sums = HarmonicProducts.table(degree);
    values = new double[Term.count(degree)];
    harmonics = new double[TOGETHER][basis.count()];
  }

  /**
   * Takes a point in.
   *
   * @param weight of its value's square error
   * @param value in any unit; the coefficients carry the same
   */
  public void add(Vec3 at, double weight, double value) {
    put(at, weight, value);
    points++;
  }

  /** Takes a point away that was taken in with this weight and value. */
  public void remove(Vec3 at, double weight, double value) {
    put(at, -weight, value);
    points--;
  }

  private void put(Vec3 at, double weight, double value) {
    basis.evaluate(at.x(), at.y(), at.z(), harmonics[waiting], 0);
    square[waiting] = square(at, basis.referenceRadius());
    factor[waiting] = weight;
    weightedValue[waiting] = weight * value;
    if (++waiting == TOGETHER) {
      flush();
    }
  }

  /** ρ². */
  static double square(Vec3 p, double referenceRadius) {
    return (p.x() * p.x() + p.y() * p.y() + p.z() * p.z()) / (referenceRadius * referenceRadius);
  }

  private void flush() {
    Combinations.addCombination(values, weightedValue, harmonics, waiting, values.length);
    for (double[] own : sums) {
      Combinations.addCombination(own, factor, harmonics, waiting, own.length);
      for (int i = 0; i < waiting; i++) {
        factor[i] *= square[i];
      }
    }
    waiting = 0;
  }

  /** N of the fit. */
  public int degree() {
    return degree;
  }

  /** R0, m. */
  public double referenceRadius() {
    return basis.referenceRadius();
  }

  /** How many points are in. */
  public long points() {
    return points;
  }

  /** Σ w ρ^(2j) T_LM, a live view as {@link HarmonicProducts#table} lays it out. */
  double[][] sums() {
    flush();
    return sums;
  }

  /** Σ w y T_a up to a degree. */
  double[] values(int upTo) {
    flush();
    return Arrays.copyOf(values, Term.count(upTo));
  }
}
