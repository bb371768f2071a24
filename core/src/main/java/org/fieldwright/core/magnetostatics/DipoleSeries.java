package org.fieldwright.core.magnetostatics;

import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.SolidHarmonics;
import org.fieldwright.core.harmonic.Term;

/**
 * The field of any number of dipoles as one expansion about the origin.
 *
 * <p>With Schmidt's functions the addition theorem reads 1/|r − r0| = Σ (r^n / r0^(n+1)) S_nm(r̂)
 * S_nm(r̂0), and a dipole of moment M makes B = ∇ (M·∇) 1/(4π |r − r0|) in the air. So the three
 * components of the moment each gather their own sum over the dipoles, and one pair of derivatives
 * at the end serves them all. For a moment along z seen along z this is the series of Roméo &amp;
 * Hoult (Magn. Reson. Med. 1 (1984) 44).
 *
 * <p>The series converges inside the sphere through the nearest dipole; at radius r what degree N
 * leaves out falls as (r/r0)^(N+1), times N². Every term is a product of positive factors and one
 * harmonic, so no digits are lost at high degree (checked to degree 60).
 *
 * <p>An accumulator: filled by one thread.
 */
public final class DipoleSeries {
  private final int degree;
  private final double referenceRadius;
  private final SolidHarmonics onUnitSphere;
  private final double[] harmonics;
  private final double[][] potential; // by moment component, (1/R0^…) Σ M S_nm(r̂0) (R0/r0)^n / r0

  /**
   * @param degree of the expansion that comes out
   * @param referenceRadius R0, m
   */
  public DipoleSeries(int degree, double referenceRadius) {
    this.degree = degree;
    this.referenceRadius = referenceRadius;
    // Two derivatives take two degrees.
    this.onUnitSphere = new SolidHarmonics(degree + 2, 1);
    this.harmonics = new double[onUnitSphere.count()];
    this.potential = new double[3][onUnitSphere.count()];
  }

  /** Adds a dipole; it must not lie at the origin. */
  public void add(PointDipole dipole) {
    Vec3 r0 = dipole.position();
    double distance = r0.norm();
    if (!(distance > 0)) {
      throw new IllegalArgumentException("a dipole at the origin has no expansion about it");
    }
    Vec3 unit = r0.times(1 / distance);
    onUnitSphere.evaluate(unit.x(), unit.y(), unit.z(), harmonics, 0);
    double ratio = referenceRadius / distance;
    double radial = 1 / (4 * Math.PI * distance);
    Vec3 m = dipole.moment();
    for (int n = 0; n <= degree + 2; n++) {
      for (int i = n * n; i < (n + 1) * (n + 1); i++) {
        double term = harmonics[i] * radial;
        potential[0][i] += m.x() * term;
        potential[1][i] += m.y() * term;
        potential[2][i] += m.z() * term;
      }
      radial *= ratio;
    }
  }

  /** The component of the gathered field along a unit vector, T. */
  public Expansion along(Vec3 axis) {
    Expansion divergence = Expansion.zero(degree + 1, referenceRadius);
    for (int k = 0; k < 3; k++) {
      divergence =
          divergence.plus(new Expansion(referenceRadius, potential[k].clone()).gradient()[k]);
    }
    Expansion[] gradient = divergence.gradient();
    double[] sum = new double[Term.count(degree)];
    double[] weights = {axis.x(), axis.y(), axis.z()};
    for (int k = 0; k < 3; k++) {
      double[] part = gradient[k].coefficients();
      for (int i = 0; i < sum.length; i++) {
        sum[i] += weights[k] * part[i];
      }
    }
    return new Expansion(referenceRadius, sum);
  }
}
