package org.fieldwright.core.magnetostatics;

import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.Expansion;

/**
 * A piece so small that its shape does not matter.
 *
 * <pre>B(r) = (3 (M·d̂) d̂ − M) / (4π d³),   d = r − position, M = J·V</pre>
 *
 * <p>Jackson, Classical Electrodynamics (3rd ed.), eq. 5.56, with μ0·m = M. Against a block of the
 * same moment the error falls as (side/distance)²; {@link Block} is exact.
 *
 * @param position metres
 * @param moment polarisation × volume, T·m³, along the magnetisation
 */
public record PointDipole(Vec3 position, Vec3 moment) implements FieldSource {

  /** A piece of polarisation J (T) and volume V (m³) magnetised along the unit vector given. */
  public static PointDipole ofPiece(
      Vec3 position, double polarisation, double volume, Vec3 magnetisedAlong) {
    return new PointDipole(position, magnetisedAlong.times(polarisation * volume));
  }

  @Override
  public Vec3 at(Vec3 p) {
    Vec3 d = p.minus(position);
    double d2 = d.dot(d);
    double scale = 1 / (4 * Math.PI * d2 * Math.sqrt(d2));
    return d.times(3 * moment.dot(d) / d2).minus(moment).times(scale);
  }

  /** Without building the vector: this is the planner's inner loop. */
  @Override
  public double along(Vec3 p, Vec3 axis) {
    double dx = p.x() - position.x();
    double dy = p.y() - position.y();
    double dz = p.z() - position.z();
    double d2 = dx * dx + dy * dy + dz * dz;
    double moment = this.moment.x() * dx + this.moment.y() * dy + this.moment.z() * dz;
    double axial = axis.x() * dx + axis.y() * dy + axis.z() * dz;
    return (3 * moment * axial / d2 - this.moment.dot(axis)) / (4 * Math.PI * d2 * Math.sqrt(d2));
  }

  /**
   * ∂/∂p of {@link #along}, T/m; moving the dipole instead of the point changes the sign.
   *
   * <pre>∇ (3 (M·d)(b·d)/d⁵ − M·b/d³) = 3 (M (b·d) + b (M·d) + (M·b) d)/d⁵ − 15 (M·d)(b·d) d/d⁷
   * </pre>
   */
  public Vec3 gradientAlong(Vec3 p, Vec3 axis) {
    Vec3 d = p.minus(position);
    double d2 = d.dot(d);
    double m = moment.dot(d);
    double b = axis.dot(d);
    double scale = 3 / (4 * Math.PI * d2 * d2 * Math.sqrt(d2));
    return moment
        .times(b)
        .plus(axis.times(m))
        .plus(d.times(moment.dot(axis) - 5 * m * b / d2))
        .times(scale);
  }

  /**
   * The component along {@code axis} about the origin, T. For many dipoles fill one {@link
   * DipoleSeries} instead.
   */
  public Expansion expansion(Vec3 axis, int degree, double referenceRadius) {
    DipoleSeries series = new DipoleSeries(degree, referenceRadius);
    series.add(this);
    return series.along(axis);
  }
}
