package org.fieldwright.core.correction;

import java.util.ArrayList;
import java.util.List;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.geometry.Volume;
import org.fieldwright.core.geometry.Volume.Cylinder;
import org.fieldwright.core.geometry.Volume.Ellipsoid;
import org.fieldwright.core.geometry.Volume.Sphere;

/**
 * Points on the surface of a volume, in rings about z from the +z end to the −z end, about equally
 * spaced in angle seen from the centre, with the neighbours of each. A harmonic function takes its
 * extremes on the surface (maximum principle), so these are all the targets a plan needs.
 */
final class TargetSurface {
  private final Volume volume;
  private final double spacing;
  final double[] x;
  final double[] y;
  final double[] z;
  private final int[][] neighbours;

  /**
   * @param spacing of the points, rad; neighbouring points are at most this far apart in angle
   */
  TargetSurface(Volume volume, double spacing) {
    this.volume = volume;
    this.spacing = spacing;
    List<List<Vec3>> rings = new ArrayList<>();
    for (double theta : ringAngles(volume, spacing)) {
      rings.add(ring(volume, theta, spacing));
    }
    int count = rings.stream().mapToInt(List::size).sum();
    x = new double[count];
    y = new double[count];
    z = new double[count];
    int i = 0;
    for (List<Vec3> ring : rings) {
      for (Vec3 p : ring) {
        x[i] = p.x();
        y[i] = p.y();
        z[i] = p.z();
        i++;
      }
    }
    neighbours = link(rings, count);
  }

  int size() {
    return x.length;
  }

  Vec3 point(int i) {
    return new Vec3(x[i], y[i], z[i]);
  }

  /** Points whose values a local extreme at i must not be exceeded by. */
  int[] neighbours(int i) {
    return neighbours[i];
  }

  /** Spacing of the points, rad. */
  double spacing() {
    return spacing;
  }

  Volume volume() {
    return volume;
  }

  /** Polar angles of the rings: equal steps, and for a cylinder its edges besides. */
  private static List<Double> ringAngles(Volume volume, double spacing) {
    int steps = (int) Math.ceil(Math.PI / spacing);
    List<Double> angles = new ArrayList<>();
    for (int k = 0; k <= steps; k++) {
      angles.add(Math.PI * k / steps);
    }
    if (volume instanceof Cylinder c) {
      double edge = Math.atan2(c.radius(), c.halfLength());
      angles.add(edge);
      angles.add(Math.PI - edge);
      angles.sort(null);
    }
    return angles;
  }

  private static List<Vec3> ring(Volume volume, double theta, double spacing) {
    int count = Math.max(1, (int) Math.ceil(2 * Math.PI * Math.sin(theta) / spacing - 1e-9));
    List<Vec3> points = new ArrayList<>(count);
    for (int k = 0; k < count; k++) {
      points.add(onSurface(volume, Vec3.spherical(1, theta, 2 * Math.PI * k / count)));
    }
    return points;
  }

  /** Where the ray from the centre in this direction leaves the volume. */
  static Vec3 onSurface(Volume volume, Vec3 direction) {
    if (volume instanceof Sphere s) {
      return direction.times(s.radius() / direction.norm());
    }
    if (volume instanceof Ellipsoid e) {
      Vec3 scaled =
          new Vec3(direction.x() / e.semiX(), direction.y() / e.semiY(), direction.z() / e.semiZ());
      return direction.times(1 / scaled.norm());
    }
    Cylinder c = (Cylinder) volume;
    double toSide = c.radius() / Math.hypot(direction.x(), direction.y());
    double toEnd = c.halfLength() / Math.abs(direction.z());
    return direction.times(Math.min(toSide, toEnd));
  }

  private static int[][] link(List<List<Vec3>> rings, int count) {
    int[][] links = new int[count][];
    int[] first = new int[rings.size() + 1];
    for (int r = 0; r < rings.size(); r++) {
      first[r + 1] = first[r] + rings.get(r).size();
    }
    for (int r = 0; r < rings.size(); r++) {
      int size = rings.get(r).size();
      for (int k = 0; k < size; k++) {
        List<Integer> near = new ArrayList<>();
        if (size > 1) {
          near.add(first[r] + (k + 1) % size);
          near.add(first[r] + (k + size - 1) % size);
        }
        double turn = (double) k / size;
        if (r > 0) {
          addNearest(near, first[r - 1], rings.get(r - 1).size(), turn);
        }
        if (r + 1 < rings.size()) {
          addNearest(near, first[r + 1], rings.get(r + 1).size(), turn);
        }
        links[first[r] + k] = near.stream().mapToInt(Integer::intValue).toArray();
      }
    }
    return links;
  }

  /** The point of a ring nearest in azimuth and the ones beside it; all of a very small ring. */
  private static void addNearest(List<Integer> near, int first, int size, double turn) {
    if (size <= 6) {
      for (int k = 0; k < size; k++) {
        near.add(first + k);
      }
      return;
    }
    int nearest = (int) Math.round(turn * size);
    for (int k = nearest - 1; k <= nearest + 1; k++) {
      near.add(first + Math.floorMod(k, size));
    }
  }
}
