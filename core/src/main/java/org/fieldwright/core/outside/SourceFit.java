package org.fieldwright.core.outside;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.OrthonormalColumns;
import org.jspecify.annotations.Nullable;

/**
 * Least squares of the places and moments of a few dipoles from given starts: variable projection
 * (G. H. Golub and V. Pereyra, 1973, with L. Kaufman's Jacobian of 1975) by Levenberg–Marquardt
 * steps in the places alone, the moments solved for at every place. Steps are taken in ln |r| and
 * in two angles, in which near and far sources are alike; places stay within a shell.
 */
final class SourceFit {
  static final double DEPENDENT = 1e-10;
  static final Vec3[] AXES = {Vec3.UNIT_X, Vec3.UNIT_Y, Vec3.UNIT_Z};

  private static final int MOST_ITERATIONS = 50;
  private static final int MOST_TRIES = 10;
  private static final double LONGEST_STEP = 0.4;
  private static final double SETTLED = 1e-8;

  private final Remainder remainder;
  private final List<Vec3> directions;
  private final double inner;
  private final double outer;

  /**
   * @param directions unit vectors that moments may have parts along
   * @param inner least distance of a source from the origin, m
   * @param outer largest, m
   */
  SourceFit(Remainder remainder, List<Vec3> directions, double inner, double outer) {
    this.remainder = remainder;
    this.directions = directions;
    this.inner = inner;
    this.outer = outer;
  }

  /**
   * Where a fit stands.
   *
   * @param columns of the moments, orthonormal, with as many empty rows below as there are
   *     coordinates
   * @param residual with those rows
   */
  @SuppressWarnings("ArrayRecordComponent") // not handed out
  private record State(Sources sources, OrthonormalColumns columns, double[] residual) {}

  /** The nearest best fit; null where the sources at the start cannot be told from each other. */
  @Nullable Sources from(List<Vec3> start) {
    State now = solved(start);
    double damping = 1e-3;
    for (int i = 0; now != null && i < MOST_ITERATIONS; i++) {
      double[][] slopes = slopes(now.sources());
      State better = null;
      for (int k = 0; k < MOST_TRIES && better == null; k++) {
        State tried = solved(moved(now.sources(), step(now, slopes, damping)));
        if (tried != null && tried.sources().squares() < now.sources().squares()) {
          better = tried;
          damping = Math.max(1e-12, damping / 10);
        } else {
          damping *= 8;
        }
      }
      if (better == null) {
        break;
      }
      double gained = now.sources().squares() - better.sources().squares();
      now = better;
      if (gained < SETTLED * now.sources().squares()) {
        break;
      }
    }
    return now == null ? null : now.sources();
  }

  private @Nullable State solved(List<Vec3> positions) {
    int rows = remainder.left().length + 3 * positions.size();
    int parts = positions.size() * directions.size();
    OrthonormalColumns columns = new OrthonormalColumns(rows, parts + 3 * positions.size());
    for (Vec3 at : positions) {
      for (Vec3 direction : directions) {
        columns.append(Arrays.copyOf(remainder.column(at, direction), rows), DEPENDENT);
      }
    }
    if (columns.count() < parts) {
      return null;
    }
    double[] residual = Arrays.copyOf(remainder.left(), rows);
    double[] moments = columns.coordinates(residual);
    for (int j = 0; j < parts; j++) {
      columns.subtract(j, moments[j], residual);
    }
    columns.solveUpper(moments);
    List<Double> found = Arrays.stream(moments).boxed().toList();
    double squares = Remainder.squares(residual);
    return new State(
        new Sources(List.copyOf(positions), directions, found, squares), columns, residual);
  }

  /** Per unit of ln |r| and per radian, three for each source. */
  private double[][] slopes(Sources s) {
    double[][] slopes = new double[3 * s.count()][];
    for (int k = 0; k < s.count(); k++) {
      Vec3 at = s.positions().get(k);
      double[][] own = remainder.slopes(at, s.moment(k), frame(at));
      for (int j = 0; j < 3; j++) {
        for (int i = 0; i < own[j].length; i++) {
          own[j][i] *= at.norm();
        }
        slopes[3 * k + j] = own[j];
      }
    }
    return slopes;
  }

  /** Outwards and two directions across. */
  private static Vec3[] frame(Vec3 at) {
    Vec3 out = at.unit();
    Vec3 helper = Math.abs(out.z()) < 0.8 ? Vec3.UNIT_Z : Vec3.UNIT_X;
    Vec3 across = helper.cross(out).unit();
    return new Vec3[] {out, across, out.cross(across)};
  }

  private static double[] step(State now, double[][] slopes, double damping) {
    int more = slopes.length;
    int rows = now.residual().length - more;
    int moments = now.columns().count();
    OrthonormalColumns columns = now.columns().first(moments);
    for (int j = 0; j < more; j++) {
      double[] column = Arrays.copyOf(slopes[j], rows + more);
      double length = Math.sqrt(Remainder.squares(slopes[j]));
      column[rows + j] = Math.sqrt(damping) * Math.max(length, Double.MIN_NORMAL);
      columns.append(column, 0);
    }
    double[] solution = columns.coordinates(now.residual());
    columns.solveUpper(solution);
    return Arrays.copyOfRange(solution, moments, moments + more);
  }

  private List<Vec3> moved(Sources s, double[] step) {
    double longest = 0;
    for (double e : step) {
      longest = Math.max(longest, Math.abs(e));
    }
    double factor = longest > LONGEST_STEP ? LONGEST_STEP / longest : 1;
    List<Vec3> moved = new ArrayList<>();
    for (int k = 0; k < s.count(); k++) {
      Vec3 at = s.positions().get(k);
      Vec3[] frame = frame(at);
      double r = at.norm() * Math.exp(factor * step[3 * k]);
      Vec3 direction =
          frame[0]
              .plus(frame[1].times(factor * step[3 * k + 1]))
              .plus(frame[2].times(factor * step[3 * k + 2]));
      moved.add(direction.unit().times(Math.min(outer, Math.max(inner, r))));
    }
    return moved;
  }
}
