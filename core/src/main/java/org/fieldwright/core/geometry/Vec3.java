package org.fieldwright.core.geometry;

/**
 * A point or a direction in the bore frame.
 *
 * @param x metres
 * @param y metres
 * @param z metres, along the bore
 */
public record Vec3(double x, double y, double z) {
  public static final Vec3 ZERO = new Vec3(0, 0, 0);
  public static final Vec3 UNIT_X = new Vec3(1, 0, 0);
  public static final Vec3 UNIT_Y = new Vec3(0, 1, 0);
  public static final Vec3 UNIT_Z = new Vec3(0, 0, 1);

  /**
   * The point at radius {@code r} (m), polar angle {@code theta} from +z and azimuth {@code phi}
   * from +x towards +y (rad).
   */
  public static Vec3 spherical(double r, double theta, double phi) {
    double s = r * Math.sin(theta);
    return new Vec3(s * Math.cos(phi), s * Math.sin(phi), r * Math.cos(theta));
  }

  /** The point at distance {@code rho} (m) from the bore axis, azimuth {@code phi} (rad). */
  public static Vec3 cylindrical(double rho, double phi, double z) {
    return new Vec3(rho * Math.cos(phi), rho * Math.sin(phi), z);
  }

  public double norm() {
    return Math.sqrt(x * x + y * y + z * z);
  }

  /** Polar angle from +z, 0..π rad; 0 at the origin. */
  public double polar() {
    return Math.atan2(Math.hypot(x, y), z);
  }

  /** Azimuth from +x towards +y, −π..π rad; 0 on the axis. */
  public double azimuth() {
    return Math.atan2(y, x);
  }

  /** Unit vector in which the polar angle grows here. */
  public Vec3 alongPolar() {
    return spherical(1, polar() + Math.PI / 2, azimuth());
  }

  /** Unit vector in which the azimuth grows here. */
  public Vec3 alongAzimuth() {
    double phi = azimuth();
    return new Vec3(-Math.sin(phi), Math.cos(phi), 0);
  }

  public Vec3 plus(Vec3 o) {
    return new Vec3(x + o.x, y + o.y, z + o.z);
  }

  public Vec3 minus(Vec3 o) {
    return new Vec3(x - o.x, y - o.y, z - o.z);
  }

  public Vec3 times(double factor) {
    return new Vec3(x * factor, y * factor, z * factor);
  }

  public double dot(Vec3 o) {
    return x * o.x + y * o.y + z * o.z;
  }

  public Vec3 cross(Vec3 o) {
    return new Vec3(y * o.z - z * o.y, z * o.x - x * o.z, x * o.y - y * o.x);
  }

  /** This direction with length one. */
  public Vec3 unit() {
    return times(1 / norm());
  }
}
