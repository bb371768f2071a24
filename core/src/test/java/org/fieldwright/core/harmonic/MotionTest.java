package org.fieldwright.core.harmonic;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.SplittableRandom;
import org.fieldwright.core.geometry.Vec3;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Translation against the addition theorem's worked values and, as rotation, against the field. */
class MotionTest {

  private static Expansion single(int n, int m, Term.Part part) {
    double[] c = new double[Term.count(n)];
    c[Term.index(n, m, part)] = 1 / Normalisation.UNNORMALISED.coefficientFromSchmidt(n, m);
    // The coefficient of S_nm for which the field is r^n P_nm: P = S / (S/P).
    return new Expansion(1, c);
  }

  /**
   * Steinborn &amp; Ruedenberg's theorem at r = (0.7, 0.4, −0.1), a = (0.3, −0.2, 0.5): r^n P_nm
   * e^(imφ) at the sum, exact rationals.
   */
  @Test
  void workedExampleOfTheAdditionTheorem() {
    Vec3 r = new Vec3(0.7, 0.4, -0.1);
    Vec3 a = new Vec3(0.3, -0.2, 0.5);
    assertThat(moved(2, 0, Term.Part.COS, a).at(r)).isCloseTo(-0.36, within(1e-14));
    assertThat(moved(2, 1, Term.Part.COS, a).at(r)).isCloseTo(1.2, within(1e-14));
    assertThat(moved(2, 1, Term.Part.SIN, a).at(r)).isCloseTo(0.24, within(1e-14));
    assertThat(moved(3, 2, Term.Part.COS, a).at(r)).isCloseTo(5.76, within(1e-13));
    assertThat(moved(3, 2, Term.Part.SIN, a).at(r)).isCloseTo(2.4, within(1e-13));
    assertThat(moved(4, 1, Term.Part.COS, a).at(r)).isCloseTo(-2.48, within(1e-13));
    assertThat(moved(4, 1, Term.Part.SIN, a).at(r)).isCloseTo(-0.496, within(1e-13));
  }

  private static Expansion moved(int n, int m, Term.Part part, Vec3 to) {
    return Translation.of(single(n, m, part), to);
  }

  /** Shift along z of zonal and tesseral terms; 40-digit values of the binomial form. */
  @Test
  void shiftAlongTheAxis() {
    Vec3 p = new Vec3(0.1, 0.07, 0.12);
    Vec3 up = new Vec3(0, 0, 0.05);
    assertThat(moved(2, 0, Term.Part.COS, up).at(p)).isCloseTo(0.02145, within(1e-16));
    assertThat(moved(4, 0, Term.Part.COS, up).at(p)).isCloseTo(-0.00037336625, within(1e-17));
    assertThat(moved(6, 0, Term.Part.COS, up).at(p)).isCloseTo(-0.0000341403819375, within(1e-18));
    assertThat(moved(3, 1, Term.Part.COS, up).at(p)).isCloseTo(0.015105, within(1e-16));
    assertThat(moved(4, 2, Term.Part.COS, up).at(p)).isCloseTo(0.006062625, within(1e-16));
    assertThat(moved(5, 3, Term.Part.COS, up).at(p)).isCloseTo(-0.0053372025, within(1e-16));
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4})
  void movedAndTurnedFieldsAreTheSameField(long seed) {
    SplittableRandom random = new SplittableRandom(seed);
    Expansion field = new Expansion(0.2, random.doubles(Term.count(14), -1, 1).toArray());
    Vec3 d = new Vec3(random.nextDouble(0.05), random.nextDouble(0.05), random.nextDouble(0.05));
    Vec3 p = Vec3.spherical(0.12, random.nextDouble(3), random.nextDouble(6));
    assertThat(Translation.of(field, d).at(p))
        .as("seed " + seed)
        .isCloseTo(field.at(p.plus(d)), within(1e-11));
    Expansion back = Translation.of(Translation.of(field, d), d.times(-1));
    for (int k = 0; k < Term.count(14); k++) {
      assertThat(back.coefficient(k)).isCloseTo(field.coefficient(k), within(1e-10));
    }
    Rotation turn = new Rotation(new Vec3(0.3, -0.8, 0.5));
    assertThat(turn.seenBy(field).at(p)).isCloseTo(field.at(turn.turn(p)), within(1e-12));
  }

  @Test
  void theCentreIsWhereTheGradientVanishes() {
    double[] c = new double[Term.count(4)];
    c[Term.index(2, 0, Term.Part.COS)] = 40;
    c[Term.index(2, 2, Term.Part.COS)] = 5;
    c[Term.index(4, 0, Term.Part.COS)] = 3;
    Vec3 truth = new Vec3(0.004, -0.007, 0.011);
    Expansion seen = Translation.of(new Expansion(0.2, c), truth.times(-1));
    FieldModel model =
        new FieldModel(
            seen,
            1,
            java.util.Set.of(),
            Covariance.zero(Term.count(4)),
            java.util.List.of(),
            1,
            0,
            1,
            0.2,
            "");
    MagneticCentre centre = MagneticCentre.of(model).orElseThrow();
    assertThat(centre.at().minus(truth).norm()).isLessThan(1e-10);
  }

  @Test
  void aMovedModelKeepsItsUncertaintyEverywhere() {
    SplittableRandom random = new SplittableRandom(12);
    int n = Term.count(5);
    double[] v = new double[n * n];
    for (int i = 0; i < n; i++) {
      v[i * n + i] = random.nextDouble(1e-4, 1e-3);
    }
    FieldModel model =
        new FieldModel(
            new Expansion(0.2, random.doubles(n, -1, 1).toArray()).withConstant(0),
            1,
            java.util.Set.of(),
            new Covariance(n, v),
            java.util.List.of(),
            1,
            0,
            1,
            0.2,
            "");
    Vec3 d = new Vec3(0.01, -0.02, 0.03);
    FieldModel moved = FieldModels.about(model, d);
    Vec3 p = new Vec3(0.05, 0.06, -0.07);
    SolidHarmonics basis = new SolidHarmonics(5, 0.2);
    assertThat(moved.covariance().varianceOf(basis.evaluate(p)))
        .isCloseTo(model.covariance().varianceOf(basis.evaluate(p.plus(d))), within(1e-15));
    double before = model.centreField() * (1 + 1e-6 * model.ppm().at(p.plus(d)));
    double after = moved.centreField() * (1 + 1e-6 * moved.ppm().at(p));
    assertThat(after).isCloseTo(before, within(1e-11)); // product of two ppm
  }
}
