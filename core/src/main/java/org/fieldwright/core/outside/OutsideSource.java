package org.fieldwright.core.outside;

import java.util.List;
import org.fieldwright.core.geometry.Vec3;

/**
 * A piece outside, as the field tells of it.
 *
 * @param position metres
 * @param moment T·m³ (μ0 times the magnetic moment); along the field axis unless its direction was
 *     left free
 * @param sizeUncertainty standard uncertainty of the moment along its own direction, T·m³
 * @param uncertainty standard uncertainty of each coordinate of the position, m
 * @param ellipsoid semi-axes of the ellipsoid about the position that holds the true one with 95 %,
 *     longest first, m
 * @param onField cosine between the moment and the field axis
 */
public record OutsideSource(
    Vec3 position,
    Vec3 moment,
    double sizeUncertainty,
    Vec3 uncertainty,
    List<Vec3> ellipsoid,
    double onField) {

  /** J = μ0·Ms at which masses are told, T: soft iron near room temperature (2.1 to 2.15). */
  public static final double POLARISATION = 2.1;

  /** kg/m³. */
  public static final double DENSITY = 7870;

  public OutsideSource {
    ellipsoid = List.copyOf(ellipsoid);
  }

  /** Saturated iron of the same moment, kg: less than this it cannot be. */
  public double iron() {
    return iron(moment.norm());
  }

  /** Standard uncertainty of {@link #iron}, kg. */
  public double ironUncertainty() {
    return iron(sizeUncertainty);
  }

  /** Saturated iron of a moment, kg. */
  static double iron(double moment) {
    return moment / POLARISATION * DENSITY;
  }

  /** The longest semi-axis of the ellipsoid, m. */
  public double reach() {
    return ellipsoid.get(0).norm();
  }

  /** Root of the sum of the variances of the three coordinates, m. */
  public double spread() {
    return uncertainty.norm();
  }
}
