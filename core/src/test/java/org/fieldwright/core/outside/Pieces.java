package org.fieldwright.core.outside;

import java.util.List;
import java.util.SplittableRandom;
import org.fieldwright.core.Progress;
import org.fieldwright.core.geometry.GaussLegendre;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.magnetostatics.PointDipole;

/** Readings of iron outside, as the benchmark problem D1 has them. */
final class Pieces {
  static final double NOISE = 0.02; // ppm
  static final Vec3 DIRECTION = new Vec3(0.6, 0.3, 0.742).unit();
  private static final double CENTRE_FIELD = 1.5; // T
  private static final double RADIUS = 0.225; // m

  private Pieces() {}

  /** 24 Gauss–Legendre planes × 24 angles. */
  static Vec3[] points() {
    GaussLegendre planes = GaussLegendre.of(24);
    Vec3[] points = new Vec3[576];
    for (int i = 0; i < 24; i++) {
      for (int k = 0; k < 24; k++) {
        points[24 * i + k] =
            Vec3.spherical(RADIUS, Math.acos(planes.node(i)), Math.toRadians(15.0 * k));
      }
    }
    return points;
  }

  /** Saturated at 2.1 T, 7870 kg/m³: 10 g are 2.12 A·m². */
  static PointDipole piece(double grams, Vec3 at, Vec3 along) {
    return new PointDipole(at, along.unit().times(2.1 * grams * 1e-3 / 7870));
  }

  static PointDipole piece(double grams, Vec3 at) {
    return piece(grams, at, Vec3.UNIT_Z);
  }

  /** What is read of them, with noise. */
  static OutsideReadings readings(
      List<PointDipole> pieces, Vec3[] points, int lowest, int highest, long seed) {
    double[] ppm = new double[points.length];
    SplittableRandom random = new SplittableRandom(seed);
    for (int i = 0; i < ppm.length; i++) {
      ppm[i] = NOISE * random.nextGaussian();
      for (PointDipole piece : pieces) {
        ppm[i] += 1e6 * piece.along(points[i], Vec3.UNIT_Z) / CENTRE_FIELD;
      }
    }
    return OutsideReadings.of(
        points, ppm, new OutsideReadings.Terms(Vec3.UNIT_Z, CENTRE_FIELD, NOISE), lowest, highest);
  }

  static OutsideReadings readings(List<PointDipole> pieces, int lowest, int highest, long seed) {
    return readings(pieces, points(), lowest, highest, seed);
  }

  static OutsideFinding search(OutsideReadings readings) {
    return OutsideSearch.in(readings, Progress.NONE);
  }

  /** The bound of the root of the sum of the three variances of the place, m. */
  static double bound(PointDipole piece, int degree) {
    Sources s =
        new Sources(
            List.of(piece.position()), List.of(Vec3.UNIT_Z), List.of(piece.moment().z()), 0);
    Remainder remainder = readings(List.of(piece), degree, degree, 1).remainder(degree);
    SourceBound bound = SourceBound.of(remainder, s, NOISE);
    if (bound == null) {
      throw new AssertionError("the readings do not determine " + piece);
    }
    return bound.source(s, 0, Vec3.UNIT_Z).spread();
  }

  /**
   * Root mean square distance of the place found from the true one over so many surveys, in bounds;
   * NaN where one survey shows no single piece.
   */
  static double scatterInBounds(PointDipole piece, int degree, int surveys) {
    double sum = 0;
    for (int seed = 1; seed <= surveys; seed++) {
      OutsideFinding found = search(readings(List.of(piece), degree, degree, seed));
      if (found.sources().size() != 1) {
        return Double.NaN;
      }
      Vec3 off = found.sources().get(0).position().minus(piece.position());
      sum += off.dot(off);
    }
    return Math.sqrt(sum / surveys) / bound(piece, degree);
  }
}
