package org.fieldwright.core.harmonic;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.Set;
import java.util.SplittableRandom;
import org.fieldwright.core.geometry.Vec3;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/** Two surveys of one random field, the array handled and moved in between; the truth is exact. */
class ArrayPlacementTest {
  private static final double SIGMA = 0.003; // ppm, of each coefficient

  private static Expansion field() {
    SplittableRandom random = new SplittableRandom(9);
    double[] c = new double[Term.count(8)];
    for (int i = 1; i < c.length; i++) {
      c[i] = 60 * Math.pow(0.5, Term.at(i).n()) * random.nextDouble(-1, 1);
    }
    return new Expansion(0.2, c);
  }

  private static FieldModel measured(Expansion truth, long seed) {
    SplittableRandom random = new SplittableRandom(seed);
    double[] c = truth.coefficients();
    int n = c.length;
    double[] v = new double[n * n];
    for (int i = 0; i < n; i++) {
      c[i] += SIGMA * random.nextGaussian();
      v[i * n + i] = SIGMA * SIGMA;
    }
    return new FieldModel(
        new Expansion(0.2, c), 1, Set.of(), new Covariance(n, v), List.of(), 1, 0, 100, 0.2, "");
  }

  @ParameterizedTest
  @EnumSource(ArrayPlacement.Handling.class)
  void handlingDisplacementAndTiltAreFound(ArrayPlacement.Handling handling) {
    Vec3 shift = new Vec3(0.0008, -0.0003, 0.0012);
    Vec3 turn = new Vec3(0.004, -0.006, 0.01);
    Expansion seen =
        new Rotation(turn)
            .seenBy(Translation.of(Rotation.project(field(), handling::place), shift));
    List<ArrayPlacement> ranked = ArrayPlacement.rank(measured(field(), 1), measured(seen, 2));
    ArrayPlacement best = ranked.get(0);
    assertThat(best.handling()).isEqualTo(handling);
    assertThat(best.shift().minus(shift).norm()).isLessThan(4 * best.shiftUncertainty().norm());
    assertThat(best.turn().minus(turn).norm()).isLessThan(4 * best.turnUncertainty().norm());
    assertThat(best.shiftUncertainty().norm()).isLessThan(1e-4);
    assertThat(best.chiSquare() / best.degreesOfFreedom()).isBetween(0.5, 1.6);
    assertThat(ranked.get(1).chiSquare()).isGreaterThan(10 * best.chiSquare());
  }

  @Test
  void aForgottenZeroOfTheAngleIsFound() {
    Expansion seen = new Rotation(new Vec3(0, 0, Math.PI / 2)).seenBy(field());
    ArrayPlacement best = ArrayPlacement.rank(measured(field(), 3), measured(seen, 4)).get(0);
    assertThat(best.handling()).isEqualTo(ArrayPlacement.Handling.AS_BEFORE);
    assertThat(best.turn().z()).isCloseTo(Math.PI / 2, within(1e-3));
  }

  @Test
  void anUnmovedArrayIsSaidToBeUnmoved() {
    ArrayPlacement best = ArrayPlacement.rank(measured(field(), 5), measured(field(), 6)).get(0);
    assertThat(best.shift().norm()).isLessThan(4 * best.shiftUncertainty().norm());
    assertThat(best.chiSquareUnmoved() / best.terms()).isBetween(0.5, 1.6);
  }

  @Test
  void aChangedFieldIsNotExplainedAway() {
    double[] c = field().coefficients();
    c[Term.index(4, 3, Term.Part.COS)] += 5;
    ArrayPlacement best =
        ArrayPlacement.rank(measured(field(), 7), measured(new Expansion(0.2, c), 8)).get(0);
    assertThat(best.chiSquare() / best.degreesOfFreedom()).isGreaterThan(50);
  }

  /** The later survey may state its coefficients at another radius: nothing else may change. */
  @Test
  void theReferenceRadiusDoesNotMatter() {
    Expansion seen = Translation.of(field(), new Vec3(0.0005, 0, -0.0007));
    FieldModel later = measured(seen, 2);
    double radius = 0.26;
    int n = later.covariance().size();
    double[] v = new double[n * n];
    for (int i = 0; i < n; i++) {
      double scale = Math.pow(radius / 0.2, Term.at(i).n());
      v[i * n + i] = SIGMA * SIGMA * scale * scale;
    }
    FieldModel restated =
        new FieldModel(
            later.ppm().withReferenceRadius(radius),
            1,
            Set.of(),
            new Covariance(n, v),
            List.of(),
            1,
            0,
            100,
            0.2,
            "");
    ArrayPlacement a = ArrayPlacement.rank(measured(field(), 1), later).get(0);
    ArrayPlacement b = ArrayPlacement.rank(measured(field(), 1), restated).get(0);
    assertThat(b.chiSquare()).isCloseTo(a.chiSquare(), within(1e-6 * a.chiSquare()));
    assertThat(b.shift().minus(a.shift()).norm()).isLessThan(1e-9);
  }
}
