package org.fieldwright.core.correction;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.ejml.data.DMatrixRMaj;
import org.fieldwright.core.correction.PlanForecast.Change;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.Covariance;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.Term;
import org.fieldwright.core.magnetostatics.DipoleSeries;

/**
 * What iron put in or taken out should have done to the field, and how far pieces, places and
 * strength may be off.
 *
 * @param ppm change of the field, ppm of the centre field given, n = 0 included
 * @param covariance of its coefficients, ppm²; where the magnet file states no errors the strength
 *     of each kind of piece is left open altogether
 * @param errorsStated whether the magnet file states them
 */
public record LoadedChange(Expansion ppm, Covariance covariance, boolean errorsStated) {
  private static final double OPEN = 1; // standard uncertainty of a strength nobody stated

  /**
   * The change from one loading to another.
   *
   * @param centreField T
   * @param degree of the answer
   * @param radius of reference of the answer, m
   */
  public static LoadedChange of(
      IronSystem iron,
      Vec3 fieldAxis,
      double centreField,
      Loading from,
      Loading to,
      int degree,
      double radius) {
    PlanForecast forecast = new PlanForecast(iron, fieldAxis);
    List<Change> changes = forecast.changes(from, to);
    int size = Term.count(degree);
    double[] covariance = new double[size * size];
    IronSystem.Errors errors = iron.errors();
    double common = errors == null ? OPEN : Math.hypot(errors.strength(), errors.lotMass());
    Expansion sum = Expansion.zero(degree, radius);
    for (Expansion kind :
        byPiece(forecast, changes, fieldAxis, centreField, WeighedStacks.NONE, degree, radius)
            .values()) {
      sum = sum.plus(kind);
      addOuter(covariance, kind.times(common).coefficients());
    }
    if (errors != null) {
      addOwn(covariance, forecast, fieldAxis, centreField, errors, changes, degree, radius);
    }
    return new LoadedChange(sum, new Covariance(size, covariance), errors != null);
  }

  private static void addOuter(double[] covariance, double[] column) {
    for (int i = 0; i < column.length; i++) {
      for (int j = 0; j < column.length; j++) {
        covariance[i * column.length + j] += column[i] * column[j];
      }
    }
  }

  private static void addOwn(
      double[] covariance,
      PlanForecast forecast,
      Vec3 fieldAxis,
      double centreField,
      IronSystem.Errors errors,
      List<Change> changes,
      int degree,
      double radius) {
    int size = Term.count(degree);
    int[] terms = new int[size];
    for (int i = 0; i < size; i++) {
      terms[i] = i;
    }
    new PieceErrors(
            forecast, fieldAxis, centreField, errors, changes, WeighedStacks.NONE, degree, radius)
        .addCovariance(DMatrixRMaj.wrap(size, size, covariance), terms);
  }

  /** The change by kind of piece, in the order in which they first occur. */
  static Map<PieceType, Expansion> byPiece(
      PlanForecast forecast,
      List<Change> changes,
      Vec3 fieldAxis,
      double centreField,
      WeighedStacks weighed,
      int degree,
      double radius) {
    Map<PieceType, DipoleSeries> series = new LinkedHashMap<>();
    for (Change c : changes) {
      DipoleSeries of = series.computeIfAbsent(c.piece(), p -> new DipoleSeries(degree, radius));
      forecast.dipoles(c, weighed.worth(c.place(), c.count()), Vec3.ZERO).forEach(of::add);
    }
    Map<PieceType, Expansion> fields = new LinkedHashMap<>();
    series.forEach((piece, of) -> fields.put(piece, of.along(fieldAxis).times(1e6 / centreField)));
    return fields;
  }
}
