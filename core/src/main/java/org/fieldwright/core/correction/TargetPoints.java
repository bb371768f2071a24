package org.fieldwright.core.correction;

import java.util.Arrays;
import java.util.List;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.SolidHarmonics;

/**
 * The points at which a {@link ShimProblem} is looked at, with the field before and what each
 * column adds there: grids on the surfaces of all requirements, and points found later. Responses
 * are column-major, so that changing a count is one pass over flat memory.
 */
final class TargetPoints {
  private final ShimProblem problem;
  private final SolidHarmonics basis;
  private final double[] coefficients;
  private final double[] harmonics;
  private int size;
  private int[] requirement;
  private Vec3[] place;
  private double[] before;
  private final double[][] response;

  TargetPoints(ShimProblem problem, List<TargetSurface> grids) {
    this.problem = problem;
    basis = new SolidHarmonics(problem.now().degree(), problem.now().referenceRadius());
    coefficients = problem.now().coefficients();
    harmonics = new double[basis.count()];
    int count = grids.stream().mapToInt(TargetSurface::size).sum();
    requirement = new int[count];
    place = new Vec3[count];
    before = new double[count];
    response = new double[problem.size()][count];
    for (int q = 0; q < grids.size(); q++) {
      for (int i = 0; i < grids.get(q).size(); i++) {
        add(q, grids.get(q).point(i));
      }
    }
  }

  /** Number of points. */
  int size() {
    return size;
  }

  /** Which requirement's surface the point lies on. */
  int requirement(int point) {
    return requirement[point];
  }

  Vec3 place(int point) {
    return place[point];
  }

  /** ppm that one unit of the column adds, by point; longer than {@link #size()}. */
  double[] response(int column) {
    return response[column];
  }

  /** Adds a point on the surface of a requirement and returns its number. */
  int add(int onRequirement, Vec3 p) {
    if (size == place.length) {
      grow(size + Math.max(256, size / 4));
    }
    requirement[size] = onRequirement;
    place[size] = p;
    before[size] = fieldBefore(p);
    for (int j = 0; j < response.length; j++) {
      response[j][size] = problem.columns().ppmAt(j, p.x(), p.y(), p.z());
    }
    return size++;
  }

  private void grow(int length) {
    requirement = Arrays.copyOf(requirement, length);
    place = Arrays.copyOf(place, length);
    before = Arrays.copyOf(before, length);
    for (int j = 0; j < response.length; j++) {
      response[j] = Arrays.copyOf(response[j], length);
    }
  }

  /** ppm before anything is loaded. */
  double fieldBefore(Vec3 p) {
    basis.evaluate(p.x(), p.y(), p.z(), harmonics, 0);
    double sum = 0;
    for (int i = harmonics.length - 1; i >= 0; i--) {
      sum += harmonics[i] * coefficients[i];
    }
    return sum;
  }

  /** ppm at any point, with these column values. */
  double field(double[] values, Vec3 p) {
    double sum = fieldBefore(p);
    for (int j = 0; j < response.length; j++) {
      if (values[j] != 0) {
        sum += values[j] * problem.columns().ppmAt(j, p.x(), p.y(), p.z());
      }
    }
    return sum;
  }

  /** Writes the field at every point with these column values. */
  void field(double[] values, double[] out) {
    System.arraycopy(before, 0, out, 0, size);
    for (int j = 0; j < response.length; j++) {
      addColumn(out, j, values[j]);
    }
  }

  /** out += amount × column. */
  void addColumn(double[] out, int column, double amount) {
    if (amount == 0) {
      return;
    }
    double[] r = response[column];
    for (int i = 0; i < size; i++) {
      out[i] += amount * r[i];
    }
  }

  /** Maximum − minimum of a field over the points of each requirement. */
  double[] widths(double[] field) {
    double[][] extremes = extremes(field);
    double[] widths = new double[extremes.length];
    Arrays.setAll(widths, q -> extremes[q][0] - extremes[q][1]);
    return widths;
  }

  /** Half way between maximum and minimum of a field over the points of each requirement. */
  double[] centres(double[] field) {
    double[][] extremes = extremes(field);
    double[] centres = new double[extremes.length];
    Arrays.setAll(centres, q -> (extremes[q][0] + extremes[q][1]) / 2);
    return centres;
  }

  /** Maximum and minimum of a field over the points of each requirement. */
  double[][] extremes(double[] field) {
    double[][] extremes = new double[problem.requirements().size()][2];
    for (double[] e : extremes) {
      e[0] = Double.NEGATIVE_INFINITY;
      e[1] = Double.POSITIVE_INFINITY;
    }
    for (int i = 0; i < size; i++) {
      double[] e = extremes[requirement[i]];
      e[0] = Math.max(e[0], field[i]);
      e[1] = Math.min(e[1], field[i]);
    }
    return extremes;
  }
}
