package org.fieldwright.core.harmonic;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.SplittableRandom;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.Seating.Component;
import org.fieldwright.core.harmonic.Seating.Shown;
import org.junit.jupiter.api.Test;

/**
 * A half ring of 24 probes put beside its place in a random field. The truth is exact: the field at
 * the displaced probes, and the centre of the field without errors.
 */
class SeatingTest {
  private static final double SIGMA = 0.01; // ppm, of each coefficient of the earlier survey
  private static final double READING = 0.03; // ppm
  private static final double ANGLE = 1e-4; // rad
  private static final double B0 = 0.55;
  private static final Seating.Errors ERRORS = new Seating.Errors(READING, 0, ANGLE);

  private static double[] coefficients(boolean round) {
    SplittableRandom random = new SplittableRandom(9);
    double[] c = new double[Term.count(8)];
    for (int i = 1; i < c.length; i++) {
      double value = 60 * Math.pow(0.6, Term.at(i).n()) * random.nextDouble(-1, 1);
      c[i] = round && Term.at(i).m() > 0 ? 0 : value;
    }
    for (int i = 1; i < 4; i++) {
      c[i] *= 0.05; // first-order terms small beside Z2: a centre near the middle
    }
    c[4] = 40;
    return c;
  }

  private static FieldModel measured(double[] truth, double sigma, SplittableRandom random) {
    double[] c = truth.clone();
    int n = c.length;
    double[] v = new double[n * n];
    for (int i = 1; i < n; i++) {
      c[i] += sigma * random.nextGaussian();
      v[i * n + i] = SIGMA * SIGMA;
    }
    return new FieldModel(
        new Expansion(0.2, c), B0, Set.of(), new Covariance(n, v), List.of(), 1, 0, 100, 0.2, "");
  }

  /** Every probe of the half ring at some angles, the level drifting by 3 ppm between them. */
  private static List<Shown> readings(
      double[] truth, Vec3 shift, SplittableRandom random, double... anglesRad) {
    Expansion field = new Expansion(0.2, truth);
    List<Shown> readings = new ArrayList<>();
    for (int a = 0; a < anglesRad.length; a++) {
      double error = ANGLE * random.nextGaussian();
      for (int probe = 0; probe < 24; probe++) {
        double polar = Math.PI * (probe + 0.5) / 24;
        Vec3 at = Vec3.spherical(0.2, polar, anglesRad[a] + error).plus(shift);
        double ppm = field.at(at) + READING * random.nextGaussian() + 3 * a;
        readings.add(new Shown(Vec3.spherical(0.2, polar, anglesRad[a]), a, B0 * (1 + 1e-6 * ppm)));
      }
    }
    return readings;
  }

  /** Distances from the truth in standard uncertainties have a mean square of 1. */
  @Test
  void theUncertaintyIsTheScatterAboutTheTruth() {
    double[] truth = coefficients(false);
    Vec3 shift = new Vec3(0.0021, -0.0013, 0.0034);
    SplittableRandom random = new SplittableRandom(31);
    Vec3 centre = MagneticCentre.of(measured(truth, 0, random)).orElseThrow().at();
    double[] squares = new double[3];
    int runs = 150;
    for (int run = 0; run < runs; run++) {
      FieldModel model = measured(truth, SIGMA, random);
      Seating found =
          Seating.of(
              model,
              Seating.Target.of(MagneticCentre.of(model).orElseThrow(), model),
              readings(truth, shift, random, 0, Math.PI / 2),
              new double[] {0, Math.PI / 2},
              ERRORS);
      for (int k = 0; k < 3; k++) {
        Component c = found.components().get(k);
        double expected = centre.minus(shift).dot(c.direction());
        squares[k] += Math.pow((c.move() - expected) / c.uncertainty(), 2) / runs;
        assertThat(c.seen()).isTrue();
      }
    }
    // χ² of 150: ± 0.115 at one standard deviation.
    for (double s : squares) {
      assertThat(s).isBetween(0.65, 1.4);
    }
  }

  /** A field that is the same all round tells a plane nothing of the way across it. */
  @Test
  void acrossThePlaneARoundFieldShowsNothing() {
    double[] truth = coefficients(true);
    SplittableRandom random = new SplittableRandom(32);
    FieldModel model = measured(truth, 0, random);
    Vec3 shift = new Vec3(0.002, 0.001, -0.003);
    double angle = Math.toRadians(30);
    Seating found =
        Seating.of(
            model,
            Seating.Target.asBefore(model),
            readings(truth, shift, random, angle),
            new double[] {angle},
            ERRORS);
    Component along = found.components().get(0);
    Component across = found.components().get(1);
    assertThat(along.direction().azimuth()).isCloseTo(angle, within(1e-12));
    assertThat(along.move())
        .isCloseTo(-shift.dot(along.direction()), within(4 * along.uncertainty()));
    assertThat(across.seen()).isFalse();
    assertThat(along.seen()).isTrue();
    assertThat(found.components().get(2).move())
        .isCloseTo(0.003, within(4 * found.components().get(2).uncertainty()));
    assertThat(found.components().get(2).within(0.0005)).isFalse();
  }

  @Test
  void aProbeThatReadsOffIsLeftOutAndAChangedFieldIsSaid() {
    double[] truth = coefficients(false);
    SplittableRandom random = new SplittableRandom(33);
    FieldModel model = measured(truth, SIGMA, random);
    List<Shown> readings = new ArrayList<>(readings(truth, Vec3.ZERO, random, 0, Math.PI / 2));
    Shown one = readings.get(5);
    readings.set(5, new Shown(one.place(), 0, one.field() * (1 + 8e-6)));
    double[] angles = {0, Math.PI / 2};
    Seating found = Seating.of(model, Seating.Target.asBefore(model), readings, angles, ERRORS);
    assertThat(found.leftOut()).containsExactly(5);
    assertThat(found.misfit()).isLessThan(2);
    assertThat(found.components()).allMatch(c -> c.within(0.0005));
    double[] other = truth.clone();
    other[Term.index(4, 3, Term.Part.COS)] += 20;
    Seating changed =
        Seating.of(
            model,
            Seating.Target.asBefore(model),
            readings(other, Vec3.ZERO, random, 0, Math.PI / 2),
            angles,
            ERRORS);
    assertThat(changed.misfit()).isGreaterThan(50);
  }

  @Test
  void tooFewProbesTellNothing() {
    double[] truth = coefficients(false);
    SplittableRandom random = new SplittableRandom(34);
    FieldModel model = measured(truth, SIGMA, random);
    assertThat(
            Seating.of(
                model,
                Seating.Target.asBefore(model),
                readings(truth, Vec3.ZERO, random, 0).subList(0, 5),
                new double[] {0},
                ERRORS))
        .isNull();
  }
}
