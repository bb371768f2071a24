package org.fieldwright.core.correction;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;
import org.ejml.data.DMatrixRMaj;
import org.fieldwright.core.Vectors;
import org.fieldwright.core.correction.IronSystem.Errors;
import org.fieldwright.core.correction.PlanForecast.Change;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.magnetostatics.DipoleSeries;
import org.fieldwright.core.magnetostatics.PointDipole;

/**
 * What pieces that are not as heavy, as strong or just where they should be add to the field of a
 * change of loading. Errors of the pieces within a stack average out (the sum of n has √n times one
 * piece's error), those of the lot and of the strength do not; a displaced pocket displaces all it
 * holds.
 *
 * <p>The first order in the errors is one matrix product: per change the field of one piece and its
 * three derivatives, as expansion coefficients. {@link #exact} computes a draw in full.
 */
final class PieceErrors {
  private static final int PER_CHANGE =
      4; // one piece's field, and its change per metre along x,y,z

  private final PlanForecast forecast;
  private final Vec3 fieldAxis;
  private final double ppmPerTesla;
  private final Errors errors;
  private final List<Change> changes;
  private final WeighedStacks weighed;
  private final int[] kind; // of each change
  private final int[] pocket;
  private final int kinds;
  private final int pockets;
  private final int degree;
  private final double radius;
  private final double[][] columns;

  /** One draw: how many ideal pieces each change is really worth, and how far its pocket is off. */
  @SuppressWarnings("ArrayRecordComponent") // lives for one draw
  record Draw(double[] amount, Vec3[] displacement) {}

  /**
   * @param weighed whose mass is known, so that only place and strength are left in doubt
   * @param degree of the expansions
   * @param radius of reference, m
   */
  PieceErrors(
      PlanForecast forecast,
      Vec3 fieldAxis,
      double centreField,
      Errors errors,
      List<Change> changes,
      WeighedStacks weighed,
      int degree,
      double radius) {
    this.forecast = forecast;
    this.fieldAxis = fieldAxis;
    this.ppmPerTesla = 1e6 / centreField;
    this.errors = errors;
    this.changes = changes;
    this.weighed = weighed;
    this.degree = degree;
    this.radius = radius;
    this.kind = new int[changes.size()];
    this.pocket = new int[changes.size()];
    this.kinds = number(kind, changes.stream().<Object>map(Change::piece).toList());
    this.pockets = number(pocket, changes.stream().<Object>map(Change::pocket).toList());
    this.columns = new double[PER_CHANGE * changes.size()][];
    for (int k = 0; k < changes.size(); k++) {
      fillColumns(k);
    }
  }

  /** Numbers equal things alike; answers how many different ones there are. */
  private static int number(int[] out, List<Object> things) {
    Map<Object, Integer> numbers = new LinkedHashMap<>();
    for (int k = 0; k < out.length; k++) {
      Integer known = numbers.putIfAbsent(things.get(k), numbers.size());
      out[k] = known == null ? numbers.size() - 1 : known;
    }
    return numbers.size();
  }

  private void fillColumns(int k) {
    // One degree more, because moving a source takes a derivative.
    DipoleSeries series = new DipoleSeries(degree + 1, radius);
    forecast.dipoles(changes.get(k), 1, Vec3.ZERO).forEach(series::add);
    Expansion one = series.along(fieldAxis).times(ppmPerTesla);
    columns[PER_CHANGE * k] = one.withDegree(degree).coefficients();
    Expansion[] gradient = one.gradient();
    for (int i = 0; i < 3; i++) {
      // B(r − δ) = B(r) − δ·∇B
      columns[PER_CHANGE * k + 1 + i] = gradient[i].times(-1).coefficients();
    }
  }

  Draw draw(SplittableRandom random) {
    double[] lot = new double[kinds];
    double[] strength = new double[kinds];
    for (int i = 0; i < kinds; i++) {
      lot[i] = 1 + errors.lotMass() * random.nextGaussian();
      strength[i] = 1 + errors.strength() * random.nextGaussian();
    }
    Vec3[] off = new Vec3[pockets];
    for (int i = 0; i < pockets; i++) {
      off[i] =
          new Vec3(random.nextGaussian(), random.nextGaussian(), random.nextGaussian())
              .times(errors.position());
    }
    double[] amount = new double[changes.size()];
    Vec3[] displacement = new Vec3[changes.size()];
    for (int k = 0; k < amount.length; k++) {
      int count = changes.get(k).count();
      double own = errors.pieceMass() * Math.sqrt(Math.abs(count)) * random.nextGaussian();
      double mass = isWeighed(k) ? count : (count + own) * lot[kind[k]];
      amount[k] = mass * strength[kind[k]];
      displacement[k] = off[pocket[k]];
    }
    return new Draw(amount, displacement);
  }

  private boolean isWeighed(int k) {
    return weighed.stacks().containsKey(changes.get(k).place());
  }

  /** Adds to coefficients (ppm, at this object's radius) what a draw adds, to first order. */
  void addTo(double[] coefficients, Draw draw) {
    for (int k = 0; k < columns.length / PER_CHANGE; k++) {
      int count = changes.get(k).count();
      Vec3 off = draw.displacement()[k];
      Vectors.add(coefficients, draw.amount()[k] - count, columns[PER_CHANGE * k]);
      Vectors.add(coefficients, count * off.x(), columns[PER_CHANGE * k + 1]);
      Vectors.add(coefficients, count * off.y(), columns[PER_CHANGE * k + 2]);
      Vectors.add(coefficients, count * off.z(), columns[PER_CHANGE * k + 3]);
    }
  }

  /**
   * Adds what pieces' own masses and pockets' places may be off to a covariance (ppm²), to first
   * order; lot and strength are left to whoever learns them.
   *
   * @param terms which coefficients the rows and columns stand for
   */
  void addCovariance(DMatrixRMaj covariance, int[] terms) {
    for (int k = 0; k < changes.size(); k++) {
      int count = changes.get(k).count();
      double piece = isWeighed(k) ? 0 : errors.pieceMass() * Math.sqrt(Math.abs(count));
      double place = errors.position() * Math.abs(count);
      for (int i = 0; i < PER_CHANGE; i++) {
        addOuter(covariance, columns[PER_CHANGE * k + i], i == 0 ? piece : place, terms);
      }
    }
  }

  private static void addOuter(DMatrixRMaj to, double[] column, double sd, int[] terms) {
    if (sd == 0) {
      return;
    }
    for (int i = 0; i < terms.length; i++) {
      double a = sd * sd * column[terms[i]];
      for (int j = 0; j < terms.length; j++) {
        to.data[i * terms.length + j] += a * column[terms[j]];
      }
    }
  }

  /** What a draw adds, in full. */
  Expansion exact(Draw draw) {
    DipoleSeries series = new DipoleSeries(degree, radius);
    for (int k = 0; k < changes.size(); k++) {
      Change change = changes.get(k);
      List<PointDipole> all =
          new ArrayList<>(forecast.dipoles(change, draw.amount()[k], draw.displacement()[k]));
      all.addAll(forecast.dipoles(change, -change.count(), Vec3.ZERO));
      all.forEach(series::add);
    }
    return series.along(fieldAxis).times(ppmPerTesla);
  }
}
