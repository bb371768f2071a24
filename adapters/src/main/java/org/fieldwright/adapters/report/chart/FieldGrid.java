package org.fieldwright.adapters.report.chart;

import java.util.Arrays;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.geometry.Volume;
import org.fieldwright.core.harmonic.Expansion;

/** The field over a volume's surface, unrolled in angle as seen from the isocentre. */
public final class FieldGrid {
  private static final int ROWS = 91;
  private static final int COLUMNS = 181;

  private final double[][] ppm;

  private FieldGrid(double[][] ppm) {
    this.ppm = ppm;
  }

  /** Every 2° of polar angle and azimuth. */
  public static FieldGrid over(Volume volume, Expansion ppm) {
    double[][] values = new double[ROWS][COLUMNS];
    for (int r = 0; r < ROWS; r++) {
      double polar = Math.PI * r / (ROWS - 1);
      for (int c = 0; c < COLUMNS; c++) {
        double azimuth = 2 * Math.PI * (c % (COLUMNS - 1)) / (COLUMNS - 1);
        values[r][c] = ppm.at(surfacePoint(volume, polar, azimuth));
      }
    }
    return new FieldGrid(values);
  }

  /** Where a ray from the isocentre leaves the volume. */
  static Vec3 surfacePoint(Volume volume, double polar, double azimuth) {
    Vec3 u = Vec3.spherical(1, polar, azimuth);
    return u.times(reach(volume, u));
  }

  private static double reach(Volume volume, Vec3 u) {
    if (volume instanceof Volume.Ellipsoid e) {
      return 1 / new Vec3(u.x() / e.semiX(), u.y() / e.semiY(), u.z() / e.semiZ()).norm();
    }
    if (volume instanceof Volume.Cylinder c) {
      double across = c.radius() / Math.max(1e-12, Math.hypot(u.x(), u.y()));
      return Math.min(across, c.halfLength() / Math.max(1e-12, Math.abs(u.z())));
    }
    return volume.outerRadius();
  }

  /** By row (polar angle 0 to 180°) and column (azimuth 0 to 360°), both ends included; ppm. */
  double[][] ppm() {
    return ppm;
  }

  double largestMagnitude() {
    return Math.max(Math.abs(smallest()), Math.abs(largest()));
  }

  /** The smallest value of the grid, ppm. */
  public double smallest() {
    return Arrays.stream(ppm).flatMapToDouble(Arrays::stream).min().orElseThrow();
  }

  /** The largest value of the grid, ppm. */
  public double largest() {
    return Arrays.stream(ppm).flatMapToDouble(Arrays::stream).max().orElseThrow();
  }
}
