package org.fieldwright.core.magnetostatics;

import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.Term;

/**
 * A thin circular current anywhere in space.
 *
 * <p>With S² = (a + ρ)² + z², s² = (a − ρ)² + z², q = s/S, the Biot–Savart integral over the loop
 * is
 *
 * <pre>Bz = μ0 I a/(π S³) cel(q, q², a + ρ, a − ρ),   Bρ = μ0 I a z/(π S³) cel(q, q², −1, 1).</pre>
 *
 * <p>Taken as they stand both lose digits, near the axis and beyond the radius. As Ortner, Leitner
 * and Slanovc point out (Magnetism 3 (2023) 11), the cure is to do the first step of Bulirsch's
 * transformation in closed form and cancel there; then every term left is of one sign, save where
 * the field itself passes zero. 15 digits everywhere off the wire.
 *
 * @param centre metres
 * @param axis unit vector; the current runs right-handed about it
 * @param radius metres
 * @param current ampere-turns
 */
public record CurrentLoop(Vec3 centre, Vec3 axis, double radius, double current)
    implements FieldSource {

  public CurrentLoop {
    if (!(radius > 0)) {
      throw new IllegalArgumentException("a loop's radius must be positive, found " + radius);
    }
  }

  /** A loop about the bore axis. */
  public static CurrentLoop coaxial(double radius, double height, double current) {
    return new CurrentLoop(new Vec3(0, 0, height), Vec3.UNIT_Z, radius, current);
  }

  @Override
  public Vec3 at(Vec3 p) {
    Vec3 d = p.minus(centre);
    double z = d.dot(axis);
    Vec3 outward = d.minus(axis.times(z));
    double rho = outward.norm();
    Cylindrical b = inOwnFrame(rho, z);
    Vec3 axial = axis.times(b.axial());
    return rho == 0 ? axial : axial.plus(outward.times(b.radial() / rho));
  }

  /** Components in the loop's own frame, T. */
  public record Cylindrical(double radial, double axial) {}

  /**
   * The field at distance {@code rho} (m) from the loop's axis and height {@code z} (m) above its
   * plane.
   */
  public Cylindrical inOwnFrame(double rho, double z) {
    double a = radius;
    double z2 = z * z;
    double outer2 = (a + rho) * (a + rho) + z2;
    double inner2 = (a - rho) * (a - rho) + z2;
    double q2 = inner2 / outer2;
    double q = Math.sqrt(q2);
    // State after one step of Bulirsch's transformation from kc = q, p = q².
    double m = 1 + q;
    double k = 2 * Math.sqrt(q);
    double p = 1 + q;
    double scale = Constants.MU_0 * current * a / (Math.PI * outer2 * Math.sqrt(outer2));

    double modulus2 = 4 * a * rho / outer2; // 1 − q² without its cancellation
    double radial =
        scale * z * modulus2 * EllipticIntegrals.iterate(k, k * m, m, p, 1 / q2, 2 / (q * p));

    double first = 2 * a * ((a - rho) * (a + rho) + z2) / inner2;
    double second =
        rho <= a
            ? 2 * ((a - rho) / q + (a + rho))
            : 8 * a * rho * z2 / outer2 / (q * (q * (a + rho) + (rho - a)));
    double axial = scale * EllipticIntegrals.iterate(k, k * m, m, p, first, second);
    return new Cylindrical(radial, axial);
  }

  /**
   * The axial component about the origin, T, for a loop about the bore axis: Bz = Σ A_n r^n P_n(cos
   * θ) with A_n = μ0 I a² P'_(n+1)(z0/c) / (2 c^(n+3)), c² = a² + z0². Valid for r &lt; c.
   */
  public Expansion zonalExpansion(int degree, double referenceRadius) {
    if (centre.x() != 0 || centre.y() != 0 || Math.abs(axis.z()) != 1) {
      throw new IllegalStateException("the zonal expansion is of a loop about the bore axis");
    }
    double c = Math.hypot(radius, centre.z());
    double[] slopes = ZonalNulls.legendreSlopes(degree + 1, centre.z() / c);
    double[] coefficients = new double[Term.count(degree)];
    double scale = axis.z() * Constants.MU_0 * current * radius * radius / (2 * c * c * c);
    for (int n = 0; n <= degree; n++) {
      coefficients[n * n] = scale * slopes[n + 1];
      scale *= referenceRadius / c;
    }
    return new Expansion(referenceRadius, coefficients);
  }
}
