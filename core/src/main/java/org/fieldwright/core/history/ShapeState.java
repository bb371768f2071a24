package org.fieldwright.core.history;

import java.util.SortedSet;
import java.util.TreeSet;
import org.fieldwright.core.harmonic.Covariance;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.harmonic.PlacementPatterns;
import org.fieldwright.core.harmonic.Term;

/**
 * The harmonics of one survey with their covariance, what nobody can see of the array's placement
 * included, all in ppm of one field and at one radius for the whole life.
 */
final class ShapeState {
  private final Expansion ppm;
  private final Covariance covariance;
  private final SortedSet<Integer> seen;

  private ShapeState(Expansion ppm, Covariance covariance, SortedSet<Integer> seen) {
    this.ppm = ppm;
    this.covariance = covariance;
    this.seen = seen;
  }

  /**
   * Of a survey.
   *
   * @param radius of reference of the life, m
   * @param field that ppm refer to, T
   */
  static ShapeState of(
      FieldModel model, double radius, double field, double placement, double turn) {
    Expansion ppm = model.ppm().withReferenceRadius(radius).times(model.centreField() / field);
    int size = Term.count(ppm.degree());
    TreeSet<Integer> seen = new TreeSet<>();
    for (int i = 1; i < size; i++) {
      if (!model.unseen().contains(Term.at(i))) {
        seen.add(i);
      }
    }
    double[] c = moved(model.covariance(), size, radius / model.ppm().referenceRadius(), 1);
    for (double[] pattern : PlacementPatterns.of(ppm, ppm.degree(), placement, turn)) {
      for (int i : seen) {
        for (int j : seen) {
          c[i * size + j] += pattern[i] * pattern[j];
        }
      }
    }
    return new ShapeState(ppm, new Covariance(size, c), seen);
  }

  /** A covariance at another radius and in ppm of another field, cut or filled to a size. */
  static double[] moved(Covariance from, int size, double ratio, double scale) {
    double[] c = new double[size * size];
    for (int i = 0; i < Math.min(size, from.size()); i++) {
      for (int j = 0; j < Math.min(size, from.size()); j++) {
        c[i * size + j] =
            scale * scale * Math.pow(ratio, Term.at(i).n() + Term.at(j).n()) * from.at(i, j);
      }
    }
    return c;
  }

  Expansion ppm() {
    return ppm;
  }

  /** Indices of the terms that the survey determines. */
  SortedSet<Integer> seen() {
    return seen;
  }

  double covariance(int i, int j) {
    return covariance.at(i, j);
  }
}
