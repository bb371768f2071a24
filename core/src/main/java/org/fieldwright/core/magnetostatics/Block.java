package org.fieldwright.core.magnetostatics;

import java.util.ArrayList;
import java.util.List;
import org.fieldwright.core.geometry.GaussLegendre;
import org.fieldwright.core.geometry.Vec3;

/**
 * A uniformly magnetised block, as it lies in a tray: one side along the bore, one along the
 * radius, one along the circumference. The exact field of its surface charges.
 *
 * <p>With X, Y, Z the distances to the faces, R = √(X² + Y² + Z²) and Σ over the eight corners with
 * the sign s of the product of the three sides chosen,
 *
 * <pre>B_i = Σ_j T_ij J_j,  T_zz = (1/4π) Σ s atan(XY/(ZR)),  T_xy = −(1/4π) Σ s asinh(Z/√(X²+Y²))
 * </pre>
 *
 * and cyclically: the second derivatives of the potential of a homogeneous prism (Nagy, Geophysics
 * 31 (1966) 362, for gravity). Outside the body only. The corners cancel at a distance: the error
 * is about 1e-16·J whatever the field, so beyond some forty sides {@link #dipoles} is the better
 * form.
 *
 * @param centre metres
 * @param tangential side along the circumference, m
 * @param axial side along the bore, m
 * @param radial side along the radius, m
 * @param azimuth of the tray from +x towards +y, rad: where the radial side points
 * @param polarisation J = μ0·M, T, in the bore frame
 */
public record Block(
    Vec3 centre, double tangential, double axial, double radial, double azimuth, Vec3 polarisation)
    implements FieldSource {

  @Override
  public Vec3 at(Vec3 p) {
    Vec3 d = toSides(p.minus(centre));
    Vec3 j = toSides(polarisation);
    double[] t = tensor(d);
    return toBore(
        new Vec3(
            t[0] * j.x() + t[3] * j.y() + t[4] * j.z(),
            t[3] * j.x() + t[1] * j.y() + t[5] * j.z(),
            t[4] * j.x() + t[5] * j.y() + t[2] * j.z()));
  }

  /** m³. */
  public double volume() {
    return tangential * axial * radial;
  }

  /** The dipole of the same moment at the centre. */
  public PointDipole dipole() {
    return new PointDipole(centre, polarisation.times(volume()));
  }

  /**
   * Subdivided into dipoles at Gauss–Legendre places, which carry every moment of the block up to
   * order 2k − 1 along a side with k places.
   */
  public List<PointDipole> dipoles(int tangentially, int axially, int radially) {
    GaussLegendre along = GaussLegendre.of(tangentially);
    GaussLegendre lengthwise = GaussLegendre.of(axially);
    GaussLegendre outward = GaussLegendre.of(radially);
    List<PointDipole> dipoles = new ArrayList<>();
    for (int i = 0; i < along.size(); i++) {
      for (int k = 0; k < lengthwise.size(); k++) {
        for (int l = 0; l < outward.size(); l++) {
          Vec3 place =
              new Vec3(
                  outward.node(l) * radial / 2,
                  along.node(i) * tangential / 2,
                  lengthwise.node(k) * axial / 2);
          double share = along.weight(i) * lengthwise.weight(k) * outward.weight(l) / 8;
          dipoles.add(
              new PointDipole(centre.plus(toBore(place)), polarisation.times(volume() * share)));
        }
      }
    }
    return dipoles;
  }

  /** Components along the radial, tangential and axial side. */
  private Vec3 toSides(Vec3 v) {
    double c = Math.cos(azimuth);
    double s = Math.sin(azimuth);
    return new Vec3(c * v.x() + s * v.y(), c * v.y() - s * v.x(), v.z());
  }

  private Vec3 toBore(Vec3 v) {
    double c = Math.cos(azimuth);
    double s = Math.sin(azimuth);
    return new Vec3(c * v.x() - s * v.y(), s * v.x() + c * v.y(), v.z());
  }

  /** xx, yy, zz, xy, xz, yz per unit polarisation, with x radial, y tangential, z axial. */
  private double[] tensor(Vec3 d) {
    double[] t = new double[6];
    for (int i = -1; i <= 1; i += 2) {
      double x = d.x() - i * radial / 2;
      for (int k = -1; k <= 1; k += 2) {
        double y = d.y() - k * tangential / 2;
        for (int l = -1; l <= 1; l += 2) {
          double z = d.z() - l * axial / 2;
          double r = Math.sqrt(x * x + y * y + z * z);
          double sign = i * k * l / (4 * Math.PI);
          t[0] += sign * angle(y * z, x * r);
          t[1] += sign * angle(x * z, y * r);
          t[2] += sign * angle(x * y, z * r);
        }
        t[3] -= i * k * rise(d.z(), axial / 2, Math.hypot(x, y));
      }
    }
    for (int i = -1; i <= 1; i += 2) {
      for (int k = -1; k <= 1; k += 2) {
        double x = d.x() - i * radial / 2;
        double z = d.z() - k * axial / 2;
        t[4] -= i * k * rise(d.y(), tangential / 2, Math.hypot(x, z));
        double y = d.y() - i * tangential / 2;
        t[5] -= i * k * rise(d.x(), radial / 2, Math.hypot(y, z));
      }
    }
    return t;
  }

  /** atan(a/b), 0 where both vanish: in the plane of a face its two halves cancel. */
  private static double angle(double a, double b) {
    return a == 0 ? 0 : Math.atan(a / b);
  }

  /**
   * (1/4π) Σ_l l·asinh((w − l·half)/ρ) as one logarithm, finite on the line that continues an edge
   * (ρ = 0).
   */
  private static double rise(double w, double half, double rho) {
    // Even in w: on the positive side no difference of nearly equal numbers is taken.
    double near = Math.abs(w) - half;
    double far = Math.abs(w) + half;
    double logarithm =
        near > 0
            ? Math.log((near + Math.hypot(near, rho)) / (far + Math.hypot(far, rho)))
            : asinh(near / rho) - asinh(far / rho);
    return logarithm / (4 * Math.PI);
  }

  private static double asinh(double x) {
    double a = Math.abs(x);
    return Math.copySign(Math.log(a + Math.hypot(a, 1)), x);
  }
}
