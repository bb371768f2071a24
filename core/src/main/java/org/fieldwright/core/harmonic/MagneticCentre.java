package org.fieldwright.core.harmonic;

import java.util.List;
import java.util.Optional;
import org.ejml.data.DMatrixRMaj;
import org.ejml.dense.row.CommonOps_DDRM;
import org.fieldwright.core.geometry.Vec3;

/**
 * The point about which the first-order terms X, Y, Z vanish: where the field is stationary.
 *
 * <p>Newton's method on the gradient of the expansion, from the origin; the uncertainty is that of
 * the gradient carried through the inverse of its derivative (JCGM 100:2008, 5.2). Meaningful only
 * where second-order terms pin the point down; there may be none, and several: this is the one
 * Newton's method reaches from the origin without leaving the measured sphere.
 *
 * @param at metres
 * @param uncertainty one standard uncertainty along x, y, z, m
 */
public record MagneticCentre(Vec3 at, Vec3 uncertainty) {
  private static final int MOST_STEPS = 40;

  /** The centre of a fitted field; empty where none is found within the measured radius. */
  public static Optional<MagneticCentre> of(FieldModel model) {
    Expansion[] g = model.ppm().gradient();
    List<Expansion[]> h = List.of(g[0].gradient(), g[1].gradient(), g[2].gradient());
    Vec3 p = Vec3.ZERO;
    for (int step = 0; step < MOST_STEPS; step++) {
      DMatrixRMaj inverse = new DMatrixRMaj(3, 3);
      if (!CommonOps_DDRM.invert(hessian(h, p), inverse)) {
        return Optional.empty();
      }
      Vec3 slope = Expansion.at(g, p);
      Vec3 move = times(inverse, slope).times(-1);
      double limit = model.measuredRadius() / 4;
      p = p.plus(move.norm() > limit ? move.times(limit / move.norm()) : move);
      if (!(p.norm() < model.measuredRadius())) {
        return Optional.empty();
      }
      if (move.norm() < 1e-9) {
        return Optional.of(new MagneticCentre(p, uncertainty(model, p, inverse)));
      }
    }
    return Optional.empty();
  }

  private static DMatrixRMaj hessian(List<Expansion[]> h, Vec3 p) {
    DMatrixRMaj m = new DMatrixRMaj(3, 3);
    for (int i = 0; i < 3; i++) {
      for (int j = 0; j < 3; j++) {
        m.set(i, j, h.get(i)[j].at(p));
      }
    }
    return m;
  }

  private static Vec3 times(DMatrixRMaj m, Vec3 v) {
    double[] out = new double[3];
    for (int i = 0; i < 3; i++) {
      out[i] = m.get(i, 0) * v.x() + m.get(i, 1) * v.y() + m.get(i, 2) * v.z();
    }
    return new Vec3(out[0], out[1], out[2]);
  }

  private static Vec3 uncertainty(FieldModel model, Vec3 p, DMatrixRMaj inverse) {
    double[] u = new double[3];
    double[][] response = response(model, p, inverse);
    for (int i = 0; i < 3; i++) {
      u[i] = Math.sqrt(Math.max(0, model.covariance().varianceOf(response[i])));
    }
    return new Vec3(u[0], u[1], u[2]);
  }

  /**
   * How this centre of a model moves with each coefficient, m/ppm.
   *
   * @return by direction x, y, z, then by {@link Term#index()}
   */
  double[][] response(FieldModel model) {
    Expansion[] g = model.ppm().gradient();
    List<Expansion[]> h = List.of(g[0].gradient(), g[1].gradient(), g[2].gradient());
    DMatrixRMaj inverse = new DMatrixRMaj(3, 3);
    if (!CommonOps_DDRM.invert(hessian(h, at), inverse)) {
      throw new IllegalArgumentException("not a centre of this field: " + at);
    }
    return response(model, at, inverse);
  }

  private static double[][] response(FieldModel model, Vec3 p, DMatrixRMaj inverse) {
    int count = model.covariance().size();
    double r0 = model.ppm().referenceRadius();
    double[][] response = new double[3][count];
    for (int k = 0; k < count; k++) {
      double[] unit = new double[count];
      unit[k] = 1;
      Expansion[] d = new Expansion(r0, unit).gradient();
      Vec3 moved = times(inverse, Expansion.at(d, p));
      response[0][k] = -moved.x();
      response[1][k] = -moved.y();
      response[2][k] = -moved.z();
    }
    return response;
  }
}
