package org.fieldwright.core.harmonic;

import org.fieldwright.core.geometry.Vec3;

/**
 * What a magnetic-resonance probe, which follows |B|, reads above the component that the harmonics
 * describe: |B| − B∥ = B⊥²/(2 B∥) to second order.
 *
 * <p>The component alone does not determine B⊥: a transverse field that is the same all along the
 * axis has none of it. The one taken here is the least that goes with the component, with no such
 * part. From ∂z T_(n+1)m = √((n+1)² − m²) T_nm/R0 for Schmidt's harmonics (Hobson 1931, §92) its
 * potential is Σ c_nm R0/√((n+1)² − m²) T_(n+1)m. For a field that is symmetric about the axis
 * there is no other.
 */
public final class TransverseField {
  private final Rotation fromAxis;
  private final Expansion[] slope; // of the potential, in axes whose z is the field's

  /**
   * @param component along the axis, ppm of the field at the centre
   * @param fieldAxis unit vector along the main field
   */
  public TransverseField(Expansion component, Vec3 fieldAxis) {
    Vec3 normal = Vec3.UNIT_Z.cross(fieldAxis);
    double angle = Math.atan2(normal.norm(), Vec3.UNIT_Z.dot(fieldAxis));
    Vec3 about = normal.norm() > 0 ? normal.unit() : Vec3.UNIT_X;
    Rotation toAxis = new Rotation(about.times(angle));
    fromAxis = toAxis.inverse();
    Expansion seen = toAxis.seenBy(component);
    double[] potential = new double[Term.count(seen.degree() + 1)];
    for (int k = 1; k < Term.count(seen.degree()); k++) {
      Term term = Term.at(k);
      double n = term.n() + 1.0;
      double m = term.m();
      potential[new Term(term.n() + 1, term.m(), term.part()).index()] =
          seen.coefficient(k) * seen.referenceRadius() / Math.sqrt(n * n - m * m);
    }
    slope = new Expansion(seen.referenceRadius(), potential).gradient();
  }

  /** The transverse field's size at a point, ppm of the field at the centre. */
  public double at(Vec3 p) {
    Vec3 seen = fromAxis.turn(p);
    return Math.hypot(slope[0].at(seen), slope[1].at(seen));
  }

  /** By how much |B| exceeds the component at a point, ppm. */
  public double excess(Vec3 p) {
    double transverse = at(p);
    return 1e-6 * transverse * transverse / 2;
  }
}
