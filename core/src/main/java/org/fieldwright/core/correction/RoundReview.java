package org.fieldwright.core.correction;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.ejml.data.DMatrixRMaj;
import org.ejml.dense.row.CommonOps_DDRM;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.FieldChange;

/**
 * What a round of loading did, held against what it should have done: strength factors learned for
 * each kind of piece, what is left unexplained, and which mistakes would explain it better.
 *
 * @param predicted change by the sheet with the strengths known before, ppm of the earlier centre
 *     field, n = 0 included
 * @param explained the same with the strengths learned
 * @param strengths by kind of piece that was changed
 * @param misfit generalised sum of squares of what is left after learning
 * @param degreesOfFreedom terms compared less factors learned
 * @param suspicions with positive evidence, the strongest first
 */
public record RoundReview(
    Expansion predicted,
    Expansion explained,
    List<Strength> strengths,
    double misfit,
    int degreesOfFreedom,
    List<Suspicion> suspicions) {
  private static final double RIDGE = 1e-9; // of the mean variance, against rounding

  public RoundReview {
    strengths = List.copyOf(strengths);
    suspicions = List.copyOf(suspicions);
  }

  /**
   * How strong a kind of piece proved.
   *
   * @param factor on the strength used for the prediction
   * @param uncertainty one standard uncertainty of the factor, widened by the root of the misfit
   *     per degree of freedom where that is above 1 (Birge's ratio): what is not understood counts
   * @param learned the strength for the magnet file
   */
  public record Strength(String piece, double factor, double uncertainty, double learned) {}

  /**
   * Reviews a round.
   *
   * @param iron with the strengths and errors known before
   * @param centreField of the earlier survey, T
   * @param from what lay in the pockets before
   * @param to what should lie there now, by the sheet
   * @param weighed stacks that count with their mass
   */
  public static RoundReview of(
      IronSystem iron,
      Vec3 fieldAxis,
      double centreField,
      FieldChange found,
      Loading from,
      Loading to,
      WeighedStacks weighed) {
    PlanForecast forecast = new PlanForecast(iron, fieldAxis);
    int degree = found.ppm().degree();
    double radius = found.ppm().referenceRadius();
    Map<PieceType, Expansion> byPiece =
        LoadedChange.byPiece(
            forecast, forecast.changes(from, to), fieldAxis, centreField, weighed, degree, radius);
    List<Expansion> columns = List.copyOf(byPiece.values());
    int[] terms = found.terms().stream().mapToInt(Integer::intValue).toArray();
    StrengthFit fit =
        new StrengthFit(
            weight(iron, forecast, fieldAxis, centreField, found, from, to, weighed, terms),
            select(found.ppm().coefficients(), terms),
            prior(iron, columns.size()));
    double[][] selected =
        columns.stream().map(c -> select(c.coefficients(), terms)).toArray(double[][]::new);
    StrengthFit.Result learned = fit.fit(selected);
    List<String> kinds = byPiece.keySet().stream().map(PieceType::id).toList();
    MistakeSearch search =
        new MistakeSearch(
            new LoadingFields(iron, fieldAxis, centreField, degree, radius),
            new PocketRoom(iron),
            fit,
            kinds,
            selected,
            terms,
            from,
            to);
    return new RoundReview(
        sum(columns, null, degree, radius),
        sum(columns, learned.factors(), degree, radius),
        strengths(iron, byPiece.keySet(), learned, terms.length - columns.size()),
        learned.misfit(),
        terms.length - columns.size(),
        search.rank(learned.misfit()));
  }

  static double[] select(double[] coefficients, int[] terms) {
    double[] out = new double[terms.length];
    for (int i = 0; i < terms.length; i++) {
      out[i] = coefficients[terms[i]];
    }
    return out;
  }

  private static Expansion sum(
      List<Expansion> columns,
      double @org.jspecify.annotations.Nullable [] factors,
      int degree,
      double radius) {
    Expansion sum = Expansion.zero(degree, radius);
    for (int k = 0; k < columns.size(); k++) {
      sum = sum.plus(columns.get(k).times(factors == null ? 1 : factors[k]));
    }
    return sum;
  }

  private static List<Strength> strengths(
      IronSystem iron, java.util.Collection<PieceType> kinds, StrengthFit.Result learned, int dof) {
    double birge = Math.sqrt(Math.max(1, learned.misfit() / Math.max(1, dof)));
    List<Strength> strengths = new ArrayList<>();
    for (PieceType piece : kinds) {
      int k = strengths.size();
      double factor = learned.factors()[k];
      strengths.add(
          new Strength(
              piece.id(),
              factor,
              birge * Math.sqrt(Math.max(0, learned.covariance().get(k, k))),
              factor * iron.strengthOf(piece)));
    }
    return strengths;
  }

  /** Strength and lot are what is learned, so their stated errors are what was known before. */
  private static double[] prior(IronSystem iron, int kinds) {
    double[] precision = new double[kinds];
    IronSystem.Errors errors = iron.errors();
    double variance =
        errors == null
            ? 0
            : errors.strength() * errors.strength() + errors.lotMass() * errors.lotMass();
    if (variance > 0) {
      java.util.Arrays.fill(precision, 1 / variance);
    }
    return precision;
  }

  /** Inverse of: what the surveys leave open, and what pieces and places may be off. */
  private static DMatrixRMaj weight(
      IronSystem iron,
      PlanForecast forecast,
      Vec3 fieldAxis,
      double centreField,
      FieldChange found,
      Loading from,
      Loading to,
      WeighedStacks weighed,
      int[] terms) {
    int n = terms.length;
    DMatrixRMaj covariance = new DMatrixRMaj(n, n);
    double trace = 0;
    for (int i = 0; i < n; i++) {
      for (int j = 0; j < n; j++) {
        covariance.set(i, j, found.covariance().at(terms[i], terms[j]));
      }
      trace += covariance.get(i, i);
    }
    if (!(trace > 0)) {
      throw new IllegalArgumentException("the two surveys carry no uncertainty to compare with");
    }
    if (iron.errors() != null) {
      new PieceErrors(
              forecast,
              fieldAxis,
              centreField,
              iron.errors(),
              forecast.changes(from, to),
              weighed,
              found.ppm().degree(),
              found.ppm().referenceRadius())
          .addCovariance(covariance, terms);
    }
    for (int i = 0; i < n; i++) {
      covariance.add(i, i, RIDGE * trace / n);
    }
    DMatrixRMaj weight = new DMatrixRMaj(n, n);
    if (!CommonOps_DDRM.invert(covariance, weight)) {
      throw new IllegalStateException("the covariance of the change is singular");
    }
    return weight;
  }
}
