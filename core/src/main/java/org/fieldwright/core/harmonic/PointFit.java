package org.fieldwright.core.harmonic;

import java.util.List;
import java.util.Set;
import org.ejml.data.DMatrixRMaj;
import org.ejml.dense.row.CommonOps_DDRM;
import org.fieldwright.core.geometry.Vec3;

/** A fit of {@link FreePoints} by their moments, with the residual and leverage of every point. */
public final class PointFit implements FieldFit {
  private final Sampling sampling;
  private final MomentFit normal;
  private final double[] coefficients;
  private final boolean[] aside;
  private final double[] error;
  private final double[] leverage;

  /**
   * @param aside by row
   * @param error √weight × (value − fit) of every row, set aside or not
   * @param leverage weight × xᵀG⁻¹x of every row, set aside or not
   */
  PointFit(
      Sampling sampling,
      MomentFit normal,
      double[] coefficients,
      boolean[] aside,
      double[] error,
      double[] leverage) {
    this.sampling = sampling;
    this.normal = normal;
    this.coefficients = coefficients;
    this.aside = aside;
    this.error = error;
    this.leverage = leverage;
  }

  /** Whether the moments hold digits enough: {@link MomentFit#isSound}. */
  public boolean isSound() {
    return normal.isSound();
  }

  double[] leverages() {
    return leverage;
  }

  /**
   * How far a row lies from what the other rows used predict there, in standard deviations of a row
   * of weight one: the standardised leave-one-out residual, or of a row set aside its deviation
   * over √(1 + xᵀG⁻¹x).
   */
  public double deviation(int row) {
    double spread = aside[row] ? 1 + leverage[row] : 1 - leverage[row];
    return spread > 0 ? Math.abs(error[row]) / Math.sqrt(spread) : 0;
  }

  @Override
  public int rows() {
    return error.length;
  }

  @Override
  public boolean isSetAside(int row) {
    return aside[row];
  }

  @Override
  public double residual(int row) {
    return aside[row] ? 0 : error[row];
  }

  @Override
  public double redundancy(int row) {
    return aside[row] ? 0 : Math.max(0, 1 - leverage[row]);
  }

  @Override
  public int degreesOfFreedom() {
    return rows() - setAsideCount() - normal.terms().size();
  }

  @Override
  public double residualSumOfSquares() {
    double sum = 0;
    for (int i = 0; i < error.length; i++) {
      sum += aside[i] ? 0 : error[i] * error[i];
    }
    return sum;
  }

  @Override
  public Sampling sampling() {
    return sampling;
  }

  @Override
  public int degree() {
    return normal.degree();
  }

  @Override
  public List<Term> terms() {
    return normal.terms();
  }

  @Override
  public Set<Term> unseen() {
    return normal.unseen();
  }

  @Override
  public Expansion expansion() {
    return new Expansion(normal.referenceRadius(), coefficients);
  }

  @Override
  public double[] gram() {
    return normal.seen(normal.gram());
  }

  @Override
  public double[] unitCovariance() {
    return normal.seen(normal.unitCovariance());
  }

  /** G⁻¹ (Σ w v x xᵀ) G⁻¹, the middle from moments of its own. */
  @Override
  public double[] covariance(double[] variance) {
    PointMoments moments = new PointMoments(degree(), normal.referenceRadius());
    for (int i = 0; i < variance.length; i++) {
      double w = sampling.rootWeight(i);
      moments.add(sampling.point(i), w * w * variance[i], 0);
    }
    int p = terms().size();
    DMatrixRMaj inverse = new DMatrixRMaj(p, p, true, unitCovariance());
    DMatrixRMaj middle = new DMatrixRMaj(p, p, true, normal.seen(normal.products(moments)));
    DMatrixRMaj half = new DMatrixRMaj(p, p);
    CommonOps_DDRM.mult(inverse, middle, half);
    CommonOps_DDRM.mult(half, inverse, middle);
    return middle.data;
  }

  @Override
  public Effect effect(double[] pattern) {
    SolidHarmonics basis = new SolidHarmonics(degree(), normal.referenceRadius());
    double[] right = new double[basis.count()];
    double[] h = new double[basis.count()];
    double left = 0;
    for (int i = 0; i < pattern.length; i++) {
      Vec3 at = sampling.point(i);
      basis.evaluate(at.x(), at.y(), at.z(), h, 0);
      double times = pattern[i] * sampling.rootWeight(i);
      for (int k = 0; k < right.length; k++) {
        right[k] += times * h[k];
      }
      left += pattern[i] * pattern[i];
    }
    double[] all = normal.solve(right, degree());
    double[] change = new double[terms().size()];
    for (int k = 0; k < change.length; k++) {
      int index = terms().get(k).index();
      change[k] = all[index];
      left -= all[index] * right[index];
    }
    return new Effect(change, Math.max(0, left));
  }
}
