package org.fieldwright.core.outside;

import java.util.Arrays;
import java.util.List;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.OrthonormalColumns;
import org.fieldwright.core.harmonic.SolidHarmonics;
import org.fieldwright.core.harmonic.Term;

/**
 * Readings in which sources outside are looked for, together with everything else that may explain
 * them: patterns of stated size (errors of the array), patterns of any size, and harmonics about
 * the origin up to a degree that is still to be chosen.
 *
 * <p>A pattern of stated size s is a column c with one more row, on which it alone stands with the
 * reading scatter over s and where nothing was read: least squares then weighs its amplitude
 * against the readings as Bayes' rule does. All columns are made orthonormal once, harmonics last
 * and in the order of their degree, so that every degree is a prefix of the next.
 */
public final class OutsideReadings {
  /** Of a column's own length, what must be left beyond those before it. */
  private static final double DEPENDENT = 1e-9;

  private final Vec3[] points;
  private final double[] rootWeight;
  private final boolean[] feels;
  private final double[] weighted;
  private final Vec3 axis;
  private final double ppmPerTesla;
  private final double scatter;
  private final int lowest;
  private final OrthonormalColumns nuisances;
  private final int[] columns;
  private final int[] free;

  /**
   * What is read, row by row.
   *
   * @param points metres
   * @param ppm values
   * @param rootWeight √weight of each; 1 for a reading with the scatter stated
   * @param feels whether the sources were there when the row was read
   */
  @SuppressWarnings("ArrayRecordComponent") // handed over, not kept
  record Rows(Vec3[] points, double[] ppm, double[] rootWeight, boolean[] feels) {}

  /**
   * What else may be in the readings.
   *
   * @param ofStatedSize what one standard uncertainty of each would do, ppm by row
   * @param ofAnySize columns by row
   */
  record Patterns(List<double[]> ofStatedSize, List<double[]> ofAnySize) {
    static final Patterns NONE = new Patterns(List.of(), List.of());
  }

  /**
   * How a field is told.
   *
   * @param axis unit vector along the main field
   * @param centreField T, of which ppm are told
   * @param scatter of one reading of weight one, ppm
   */
  public record Terms(Vec3 axis, double centreField, double scatter) {}

  OutsideReadings(Rows rows, Patterns patterns, Terms terms, int lowest, int highest) {
    int n = rows.points().length;
    int stated = patterns.ofStatedSize().size();
    points = rows.points().clone();
    rootWeight = rows.rootWeight().clone();
    feels = rows.feels().clone();
    axis = terms.axis();
    ppmPerTesla = 1e6 / terms.centreField();
    scatter = terms.scatter();
    this.lowest = lowest;
    weighted = new double[n + stated];
    for (int i = 0; i < n; i++) {
      weighted[i] = rootWeight[i] * rows.ppm()[i];
    }
    nuisances = new OrthonormalColumns(n + stated, stated + Term.count(highest) + 8);
    for (int j = 0; j < stated; j++) {
      double[] column = weighted(patterns.ofStatedSize().get(j));
      column[n + j] = scatter;
      nuisances.append(column, 0);
    }
    for (double[] pattern : patterns.ofAnySize()) {
      nuisances.append(weighted(pattern), DEPENDENT);
    }
    columns = new int[highest + 1];
    free = new int[highest + 1];
    appendHarmonics(highest, stated);
  }

  /**
   * Readings at free points, all of one weight, in which sources were there throughout.
   *
   * @param points metres
   * @param ppm values
   * @param lowest degree of harmonics left free
   * @param highest up to which more may be freed if the readings ask for it
   */
  public static OutsideReadings of(
      Vec3[] points, double[] ppm, Terms terms, int lowest, int highest) {
    double[] ones = new double[points.length];
    boolean[] all = new boolean[points.length];
    Arrays.fill(ones, 1);
    Arrays.fill(all, true);
    return new OutsideReadings(
        new Rows(points, ppm, ones, all), Patterns.NONE, terms, lowest, highest);
  }

  private double[] weighted(double[] pattern) {
    double[] column = new double[weighted.length];
    for (int i = 0; i < points.length; i++) {
      column[i] = rootWeight[i] * pattern[i];
    }
    return column;
  }

  private void appendHarmonics(int highest, int stated) {
    SolidHarmonics basis = new SolidHarmonics(highest, radius());
    double[][] values = new double[points.length][];
    for (int i = 0; i < points.length; i++) {
      values[i] = basis.evaluate(points[i]);
    }
    for (int n = 0; n <= highest; n++) {
      for (int k = n * n; k < (n + 1) * (n + 1); k++) {
        double[] column = new double[weighted.length];
        for (int i = 0; i < points.length; i++) {
          column[i] = feels[i] ? rootWeight[i] * values[i][k] : 0;
        }
        nuisances.append(column, DEPENDENT);
      }
      columns[n] = nuisances.count();
      free[n] = columns[n] - stated;
    }
  }

  /** The largest distance of a reading from the origin, m. */
  double radius() {
    double r = 0;
    for (Vec3 p : points) {
      r = Math.max(r, p.norm());
    }
    return r;
  }

  /** How many were read. */
  int readings() {
    return points.length;
  }

  /** Of one reading of weight one, as stated, ppm. */
  double scatter() {
    return scatter;
  }

  int lowestDegree() {
    return lowest;
  }

  int highestDegree() {
    return columns.length - 1;
  }

  /** Unknowns of any size up to a degree. */
  int free(int degree) {
    return free[degree];
  }

  Vec3 axis() {
    return axis;
  }

  /** Everything up to a degree taken out. */
  Remainder remainder(int degree) {
    return new Remainder(this, nuisances.first(columns[degree]));
  }

  /** The space outside as these readings would show a source in it. */
  SourceGrid grid(double outer) {
    return new SourceGrid(this, nuisances, outer);
  }

  /** ppm × √weight. */
  double[] weightedValues() {
    return weighted.clone();
  }

  /** What a dipole adds to the rows, weighted, in ppm. */
  double[] column(Vec3 position, Vec3 moment) {
    var dipole = new org.fieldwright.core.magnetostatics.PointDipole(position, moment);
    double[] column = new double[weighted.length];
    for (int i = 0; i < points.length; i++) {
      column[i] = feels[i] ? ppmPerTesla * rootWeight[i] * dipole.along(points[i], axis) : 0;
    }
    return column;
  }

  /** What moving a dipole adds to the rows, per metre along each of three unit vectors. */
  double[][] slopes(Vec3 position, Vec3 moment, Vec3[] along) {
    var dipole = new org.fieldwright.core.magnetostatics.PointDipole(position, moment);
    double[][] slopes = new double[along.length][weighted.length];
    for (int i = 0; i < points.length; i++) {
      if (feels[i]) {
        Vec3 gradient = dipole.gradientAlong(points[i], axis);
        for (int k = 0; k < along.length; k++) {
          slopes[k][i] = -ppmPerTesla * rootWeight[i] * gradient.dot(along[k]);
        }
      }
    }
    return slopes;
  }
}
