package org.fieldwright.core.history;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.Set;
import org.ejml.data.DMatrixRMaj;
import org.ejml.dense.row.CommonOps_DDRM;
import org.fieldwright.core.geometry.Volume;
import org.fieldwright.core.harmonic.Covariance;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.harmonic.Term;
import org.fieldwright.core.homogeneity.Limit;

/** Surveys of an invented magnet, drawn from the covariance that they state. */
final class InventedLife {
  static final int DEGREE = 4;
  static final double RADIUS = 0.2;
  static final double FIELD = 0.55;
  static final double YEAR = 365.25 * 86_400;
  static final Instant START = Instant.parse("2026-03-02T09:00:00Z");
  static final List<Limit> LIMITS =
      List.of(
          new Limit("whole", Limit.Measure.VOLUME_RMS, new Volume.Sphere(0.2), 5),
          new Limit("width", Limit.Measure.PEAK_TO_PEAK, new Volume.Sphere(0.2), 20));

  private final Random random;
  private final double[][] root; // of the stated covariance, n = 0 included
  private final double[] shape;

  InventedLife(long seed) {
    random = new Random(seed);
    int size = Term.count(DEGREE);
    root = new double[size][size];
    for (double[] row : root) {
      for (int j = 0; j < size; j++) {
        row[j] = 0.02 / Math.sqrt(size) * random.nextGaussian(); // 0.02 ppm, every term with others
      }
    }
    shape = new double[size];
    for (int i = 1; i < size; i++) {
      shape[i] = random.nextGaussian();
    }
  }

  /** The stated covariance. */
  Covariance covariance() {
    int size = root.length;
    double[] c = new double[size * size];
    for (int i = 0; i < size; i++) {
      for (int j = 0; j < size; j++) {
        for (int k = 0; k < size; k++) {
          c[i * size + j] += root[i][k] * root[j][k];
        }
      }
    }
    return new Covariance(size, c);
  }

  /** What one survey tells of a term: the diagonal of the inverse of its covariance, n ≥ 1. */
  double information(int term) {
    int p = root.length - 1;
    Covariance c = covariance();
    DMatrixRMaj inverse = new DMatrixRMaj(p, p);
    for (int i = 0; i < p; i++) {
      for (int j = 0; j < p; j++) {
        inverse.set(i, j, c.at(i + 1, j + 1));
      }
    }
    assertThat(CommonOps_DDRM.invert(inverse)).isTrue();
    return inverse.get(term - 1, term - 1);
  }

  /**
   * A survey.
   *
   * @param shift of the centre field, ppm
   * @param change of the shape, by term; null for none
   * @param scatter that the visit adds to every term and the centre field, ppm
   */
  Snapshot survey(double years, double shift, double[] change, double scatter) {
    int size = root.length;
    double[] noise = new double[size];
    double[] z = random.doubles(size, 0, 1).map(u -> random.nextGaussian()).toArray();
    double[] c = shape.clone();
    for (int i = 0; i < size; i++) {
      for (int k = 0; k < size; k++) {
        noise[i] += root[i][k] * z[k];
      }
      noise[i] += scatter * random.nextGaussian();
      c[i] += i == 0 ? 0 : noise[i] + (change == null ? 0 : change[i]);
    }
    FieldModel model =
        new FieldModel(
            new Expansion(RADIUS, c),
            FIELD * (1 + 1e-6 * (shift + noise[0])),
            Set.of(),
            covariance(),
            List.of(),
            1,
            0.02,
            500,
            RADIUS,
            "");
    Instant time = START.plusSeconds(Math.round(years * YEAR));
    return new Snapshot("survey at " + years, "visit at " + years, time, model, List.of(), null);
  }

  /** Surveys a year apart, with a decay. */
  List<Snapshot> quiet(int visits, double ppmPerYear, double scatter) {
    List<Snapshot> list = new ArrayList<>();
    for (int k = 0; k < visits; k++) {
      list.add(survey(k, ppmPerYear * k, null, scatter));
    }
    return list;
  }

  static MagnetLife judge(List<Snapshot> surveys) {
    return MagnetLife.of(surveys, List.of(), List.of(), LIMITS, 0, 0);
  }
}
