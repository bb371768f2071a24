package org.fieldwright.core.outside;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.OrthonormalColumns;

/**
 * Where to start: the whole space outside, looked through at places as far apart as a source's
 * field needs to change over the sphere that was read. The gap between the sphere and its shell
 * sets that scale.
 *
 * <p>What a source at each place adds to the readings, and its products with the orthonormal
 * columns of everything else, are computed once; every degree uses the first of them.
 */
final class SourceGrid {
  /** Of the radius read: the gap of the nearest shell, and by how much each is wider. */
  private static final double FIRST_GAP = 0.2;

  private static final double WIDER = 1.5;
  private static final double WIDEST_SPACING = 0.5; // rad
  private static final double SPACING_PER_GAP = 1;

  /** Of the distance: starts nearer to each other end at one place. */
  private static final double APART = 0.35;

  /** Of a column's square: what rounding leaves of it once the others are taken out. */
  private static final double ROUNDING = 1e-11;

  private final List<Place> places = new ArrayList<>();

  /**
   * A place.
   *
   * @param columns of a source's moment along x, y, z
   * @param products of each with the columns of everything else
   */
  @SuppressWarnings("ArrayRecordComponent") // not handed out
  private record Place(Vec3 at, double[][] columns, double[][] products) {}

  private record Gain(Vec3 at, double gain) {}

  /**
   * @param all everything else, to the highest degree
   * @param outer how far to look, m
   */
  SourceGrid(OutsideReadings readings, OrthonormalColumns all, double outer) {
    double radius = readings.radius();
    for (double gap = FIRST_GAP; (1 + gap) * radius <= outer; gap *= WIDER) {
      double spacing = Math.min(WIDEST_SPACING, SPACING_PER_GAP * gap / (1 + gap));
      int count = (int) Math.ceil(4 * Math.PI / (spacing * spacing));
      for (Vec3 direction : directions(count)) {
        Vec3 at = direction.times((1 + gap) * radius);
        double[][] columns = new double[3][];
        double[][] products = new double[3][];
        for (int k = 0; k < 3; k++) {
          columns[k] = readings.column(at, SourceFit.AXES[k]);
          products[k] = all.coordinates(columns[k]);
        }
        places.add(new Place(at, columns, products));
      }
    }
  }

  /**
   * The likeliest places of one more source, best first, none near another.
   *
   * @param first how many of the columns of everything else are taken out
   * @param left what they, and the columns of sources already known, leave of the readings
   * @param known orthonormal, and to the columns taken out
   */
  List<Vec3> likeliest(
      int first, double[] left, List<double[]> known, List<Vec3> directions, int most) {
    List<Gain> gains = new ArrayList<>();
    for (Place place : places) {
      gains.add(new Gain(place.at(), gain(place, first, left, known, directions)));
    }
    gains.sort(Comparator.comparingDouble((Gain g) -> -g.gain()));
    List<Vec3> chosen = new ArrayList<>();
    for (Gain g : gains) {
      double apart = APART * g.at().norm();
      if (chosen.size() < most && chosen.stream().allMatch(c -> c.minus(g.at()).norm() > apart)) {
        chosen.add(g.at());
      }
    }
    return chosen;
  }

  /** By how much a source there, its moment free along the directions, lowers the squares. */
  private static double gain(
      Place place, int first, double[] left, List<double[]> known, List<Vec3> directions) {
    double[][] square = new double[3][3];
    double[] along = new double[3];
    double[][] more = new double[3][known.size()];
    for (int a = 0; a < 3; a++) {
      along[a] = dot(place.columns()[a], left, left.length);
      for (int k = 0; k < known.size(); k++) {
        more[a][k] = dot(place.columns()[a], known.get(k), left.length);
      }
      for (int b = 0; b <= a; b++) {
        square[a][b] =
            dot(place.columns()[a], place.columns()[b], left.length)
                - dot(place.products()[a], place.products()[b], first)
                - dot(more[a], more[b], known.size());
        square[b][a] = square[a][b];
      }
    }
    double rounding = 0;
    for (int a = 0; a < 3; a++) {
      rounding += ROUNDING * dot(place.columns()[a], place.columns()[a], left.length);
    }
    return gain(square, along, directions, rounding);
  }

  /** Direction by direction, each made orthogonal to those before it. */
  private static double gain(
      double[][] square, double[] along, List<Vec3> directions, double rounding) {
    List<double[]> taken = new ArrayList<>();
    double gain = 0;
    for (Vec3 direction : directions) {
      double[] u = {direction.x(), direction.y(), direction.z()};
      for (double[] t : taken) {
        double part = dot(u, times(square, t), 3);
        for (int k = 0; k < 3; k++) {
          u[k] -= part * t[k];
        }
      }
      double length = dot(u, times(square, u), 3);
      if (length > rounding) {
        for (int k = 0; k < 3; k++) {
          u[k] /= Math.sqrt(length);
        }
        taken.add(u);
        double part = dot(u, along, 3);
        gain += part * part;
      }
    }
    return gain;
  }

  private static double[] times(double[][] matrix, double[] v) {
    return new double[] {dot(matrix[0], v, 3), dot(matrix[1], v, 3), dot(matrix[2], v, 3)};
  }

  private static double dot(double[] a, double[] b, int length) {
    double s0 = 0;
    double s1 = 0;
    int i = 0;
    for (; i + 1 < length; i += 2) { // two chains: the sum is not bound by the latency of one
      s0 += a[i] * b[i];
      s1 += a[i + 1] * b[i + 1];
    }
    return i < length ? s0 + s1 + a[i] * b[i] : s0 + s1;
  }

  /** Unit vectors evenly over the sphere: equal steps of z, each turned by the golden angle. */
  static List<Vec3> directions(int count) {
    double golden = Math.PI * (3 - Math.sqrt(5));
    List<Vec3> directions = new ArrayList<>();
    for (int i = 0; i < count; i++) {
      double theta = Math.acos(1 - (2 * i + 1.0) / count);
      directions.add(Vec3.spherical(1, theta, i * golden));
    }
    return directions;
  }
}
