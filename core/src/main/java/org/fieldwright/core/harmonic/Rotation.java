package org.fieldwright.core.harmonic;

import org.fieldwright.core.geometry.GaussLegendre;
import org.fieldwright.core.geometry.Vec3;

/**
 * The same field in turned axes. Each degree keeps to itself; the new coefficients are the
 * projections of the turned field on the harmonics over the sphere, by a product of Gauss–Legendre
 * and equal angles that is exact for twice the degree.
 */
public final class Rotation {
  private final double angle;
  private final Vec3 axis;

  /**
   * @param vector its direction is the axis, its length the angle, rad; right-handed
   */
  public Rotation(Vec3 vector) {
    angle = vector.norm();
    axis = angle == 0 ? Vec3.UNIT_Z : vector.times(1 / angle);
  }

  /** Turned back. */
  public Rotation inverse() {
    return new Rotation(axis.times(-angle));
  }

  /** A point or direction turned about the axis (Rodrigues' formula). */
  public Vec3 turn(Vec3 v) {
    double c = Math.cos(angle);
    return v.times(c)
        .plus(axis.cross(v).times(Math.sin(angle)))
        .plus(axis.times(axis.dot(v) * (1 - c)));
  }

  /**
   * What an observer whose axes were turned by this rotation measures: the field at the turned
   * point, B(R·r).
   */
  public Expansion seenBy(Expansion field) {
    return project(field, this::turn);
  }

  /** Projects B(map(r)) for a map that keeps lengths. */
  static Expansion project(Expansion field, java.util.function.UnaryOperator<Vec3> map) {
    int degree = field.degree();
    SolidHarmonics basis = new SolidHarmonics(degree, 1);
    GaussLegendre planes = GaussLegendre.of(degree + 1);
    int angles = 2 * degree + 2;
    double[] out = new double[basis.count()];
    double[] h = new double[basis.count()];
    double r0 = field.referenceRadius();
    for (int i = 0; i < planes.size(); i++) {
      for (int a = 0; a < angles; a++) {
        Vec3 u = Vec3.spherical(1, Math.acos(planes.node(i)), 2 * Math.PI * a / angles);
        basis.evaluate(u.x(), u.y(), u.z(), h, 0);
        double value = field.at(map.apply(u).times(r0)) * planes.weight(i) / (2.0 * angles);
        for (int k = 0; k < out.length; k++) {
          out[k] += value * h[k];
        }
      }
    }
    for (int k = 0; k < out.length; k++) {
      out[k] *= 2 * Term.at(k).n() + 1;
    }
    return new Expansion(r0, out);
  }
}
