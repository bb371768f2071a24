package org.fieldwright.core.outside;

import java.util.ArrayList;
import java.util.List;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.OrthonormalColumns;
import org.jspecify.annotations.Nullable;

/** The readings, and what a dipole adds to them, beyond everything else that may explain them. */
final class Remainder {
  private final OutsideReadings readings;
  private final OrthonormalColumns taken;
  private final double[] left;

  Remainder(OutsideReadings readings, OrthonormalColumns taken) {
    this.readings = readings;
    this.taken = taken;
    left = without(readings.weightedValues());
  }

  OutsideReadings readings() {
    return readings;
  }

  /** What is left of the readings, ppm × √weight. Not to be changed. */
  double[] left() {
    return left;
  }

  /** Sum of squares of {@link #left}. */
  double squares() {
    return squares(left);
  }

  static double squares(double[] v) {
    double sum = 0;
    for (double e : v) {
      sum += e * e;
    }
    return sum;
  }

  /** What is left of the column of a dipole. */
  double[] column(Vec3 position, Vec3 moment) {
    return without(readings.column(position, moment));
  }

  /** What is left of the columns of a dipole's motion. */
  double[][] slopes(Vec3 position, Vec3 moment, Vec3[] along) {
    double[][] slopes = readings.slopes(position, moment, along);
    for (double[] slope : slopes) {
      without(slope);
    }
    return slopes;
  }

  /**
   * Where to look for one more source, likeliest first: beyond those known, with their moments and,
   * to first order, their places free.
   */
  List<Vec3> likeliest(SourceGrid grid, @Nullable Sources known, List<Vec3> directions, int most) {
    OrthonormalColumns own = new OrthonormalColumns(left.length, 8);
    for (int k = 0; known != null && k < known.count(); k++) {
      Vec3 at = known.positions().get(k);
      for (Vec3 direction : known.directions()) {
        own.append(column(at, direction), SourceFit.DEPENDENT);
      }
      for (double[] slope : slopes(at, known.moment(k), SourceFit.AXES)) {
        own.append(slope, SourceFit.DEPENDENT);
      }
    }
    double[] rest = left.clone();
    List<double[]> columns = new ArrayList<>();
    for (int j = 0; j < own.count(); j++) {
      own.subtract(j, own.coordinate(j, rest), rest);
      double[] column = new double[rest.length];
      own.subtract(j, -1, column);
      columns.add(column);
    }
    return grid.likeliest(taken.count(), rest, columns, directions, most);
  }

  private double[] without(double[] v) {
    for (int j = 0; j < taken.count(); j++) {
      taken.subtract(j, taken.coordinate(j, v), v);
    }
    return v;
  }
}
