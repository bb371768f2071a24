package org.fieldwright.core.geometry;

/** A closed volume centred at the origin with its axis along z; lengths in metres. */
public sealed interface Volume {

  /** Distance from the origin to the farthest point of the volume, m. */
  double outerRadius();

  /** Whether the point lies inside or on the surface. */
  boolean contains(Vec3 p);

  /** A ball. */
  record Sphere(double radius) implements Volume {
    public Sphere {
      requirePositive(radius);
    }

    @Override
    public double outerRadius() {
      return radius;
    }

    @Override
    public boolean contains(Vec3 p) {
      return p.norm() <= radius;
    }
  }

  /** An ellipsoid with semi-axes along x, y, z. */
  record Ellipsoid(double semiX, double semiY, double semiZ) implements Volume {
    public Ellipsoid {
      requirePositive(semiX);
      requirePositive(semiY);
      requirePositive(semiZ);
    }

    @Override
    public double outerRadius() {
      return Math.max(semiX, Math.max(semiY, semiZ));
    }

    @Override
    public boolean contains(Vec3 p) {
      double u = p.x() / semiX;
      double v = p.y() / semiY;
      double w = p.z() / semiZ;
      return u * u + v * v + w * w <= 1;
    }
  }

  /** A finite right cylinder about z. */
  record Cylinder(double radius, double halfLength) implements Volume {
    public Cylinder {
      requirePositive(radius);
      requirePositive(halfLength);
    }

    @Override
    public double outerRadius() {
      return Math.hypot(radius, halfLength);
    }

    @Override
    public boolean contains(Vec3 p) {
      return Math.hypot(p.x(), p.y()) <= radius && Math.abs(p.z()) <= halfLength;
    }
  }

  private static void requirePositive(double length) {
    if (!(length > 0) || Double.isInfinite(length)) {
      throw new IllegalArgumentException(
          "a volume's length must be positive, found " + length + " m");
    }
  }
}
