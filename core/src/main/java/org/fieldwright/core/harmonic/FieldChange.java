package org.fieldwright.core.harmonic;

import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.IntStream;

/**
 * What changed between two surveys of a magnet: the difference of their expansions in ppm of the
 * earlier centre field, with its covariance.
 *
 * <p>Besides what each survey states there is what no survey can tell of itself: the whole array
 * may have stood displaced, or its zero turned, by as much as one probe or setting may be off. Both
 * surveys get those patterns (∇B for a displacement, ∂B/∂φ for a turn), as a common offset of all
 * readings of a survey does not average out.
 *
 * @param ppm later less earlier, Schmidt at the earlier reference radius, n ≥ 1; 0 where unseen
 * @param centreShiftPpm change of the field at the origin
 * @param centreUncertaintyPpm its standard uncertainty
 * @param terms indices of the terms that both surveys determine
 * @param covariance ppm², by index; 0 for terms that one of them does not determine
 */
public record FieldChange(
    Expansion ppm,
    double centreShiftPpm,
    double centreUncertaintyPpm,
    Set<Integer> terms,
    Covariance covariance) {

  public FieldChange {
    terms = java.util.Collections.unmodifiableSet(new TreeSet<>(terms));
  }

  /**
   * Later less earlier.
   *
   * @param placement displacement of the whole array, each direction, one standard uncertainty, m
   * @param turn of the array's zero, one standard uncertainty, rad
   */
  public static FieldChange between(
      FieldModel before, FieldModel after, double placement, double turn) {
    int degree = Math.min(before.ppm().degree(), after.ppm().degree());
    double r0 = before.ppm().referenceRadius();
    double scale = after.centreField() / before.centreField();
    Expansion earlier = before.ppm().withDegree(degree);
    Expansion later = after.ppm().withReferenceRadius(r0).withDegree(degree).times(scale);
    Set<Integer> terms = new TreeSet<>();
    IntStream.range(1, Term.count(degree))
        .filter(i -> !before.unseen().contains(Term.at(i)))
        .filter(i -> !after.unseen().contains(Term.at(i)))
        .forEach(terms::add);
    double[] change = later.minus(earlier).coefficients();
    for (int i = 0; i < change.length; i++) {
      change[i] = terms.contains(i) ? change[i] : 0;
    }
    List<double[]> patterns = new ArrayList<>();
    patterns.addAll(PlacementPatterns.of(before.ppm(), degree, placement, turn));
    patterns.addAll(
        PlacementPatterns.of(after.ppm().withReferenceRadius(r0), degree, placement, turn));
    double shift = 1e6 * (scale - 1);
    double u =
        Math.hypot(before.standardUncertainty(Term.at(0)), after.standardUncertainty(Term.at(0)));
    return new FieldChange(
        new Expansion(r0, change),
        shift,
        u,
        terms,
        covariance(before, after, degree, terms, patterns));
  }

  private static Covariance covariance(
      FieldModel before,
      FieldModel after,
      int degree,
      Set<Integer> terms,
      List<double[]> patterns) {
    int size = Term.count(degree);
    double[] sum = new double[size * size];
    double ratio = before.ppm().referenceRadius() / after.ppm().referenceRadius();
    for (int i : terms) {
      for (int j : terms) {
        double value =
            before.covariance().at(i, j)
                + Math.pow(ratio, Term.at(i).n() + Term.at(j).n()) * after.covariance().at(i, j);
        for (double[] pattern : patterns) {
          value += pattern[i] * pattern[j];
        }
        sum[i * size + j] = value;
      }
    }
    return new Covariance(size, sum);
  }

  /** Standard uncertainty of the change of a term, ppm. */
  public double standardUncertainty(Term term) {
    return Math.sqrt(covariance.at(term.index(), term.index()));
  }
}
