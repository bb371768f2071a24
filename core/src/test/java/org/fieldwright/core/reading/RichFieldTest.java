package org.fieldwright.core.reading;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Arrays;
import java.util.HashSet;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.TreeSet;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.harmonic.Term;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Fields that go on above the degree of which the angles show every order. */
class RichFieldTest {
  private static final double NOISE = 0.02;
  private static final int ANGLES = 16;

  /**
   * 100 ppm at the first degree, falling to 0.05 ppm at the eleventh; orders that 16 angles see.
   */
  private static Expansion field(long seed) {
    SplittableRandom random = new SplittableRandom(seed);
    double[] c = new double[Term.count(11)];
    for (int k = 1; k < c.length; k++) {
      Term t = Term.at(k);
      double size = 100 * Math.pow(0.47, t.n() - 1);
      c[k] = t.m() < ANGLES / 2 ? size * random.nextDouble(-1, 1) : 0;
    }
    return new Expansion(VettingTest.RADIUS, c);
  }

  private static VettingTest.Taken taken(long seed) {
    return new VettingTest.Taken(VettingTest.array(24, NOISE), field(seed), NOISE, seed)
        .turn(ANGLES);
  }

  /**
   * Above degree 8 an order 9 falls into order 7 without a trace. So the model ends there, what it
   * leaves of the field shows as scatter, and the answer says at which degree readings were judged.
   */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3})
  void theModelEndsWhereTheAnglesHideOrders(long seed) {
    FittedSurvey fitted = taken(seed).vet();
    FieldModel model = fitted.model();
    assertThat(model.ppm().degree()).isEqualTo(ANGLES / 2);
    assertThat(model.unseen()).hasSize(1).allMatch(t -> t.m() == ANGLES / 2);
    assertThat(model.residualRmsPpm()).isGreaterThan(3 * NOISE);
    assertThat(model.degreeReason()).matches(".*readings were judged at degree 1[0-2] .*");
    assertThat(fitted.degreesTried()).hasSize(ANGLES / 2);
    assertThat(fitted.vetted().findings())
        .extracting(Finding::what)
        .contains(Finding.What.SCATTER_ABOVE_STATED);
  }

  /** Above degree 8 the field alone leaves seven times the noise: none of these would stand out. */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3})
  void badReadingsShowBesideSuchAField(long seed) {
    VettingTest.Taken taken = taken(seed);
    Set<Integer> bad = Set.of(40, 141, 242, 343);
    bad.forEach(i -> taken.shift(i, i % 2 == 0 ? 10 * NOISE : -10 * NOISE));
    Set<Integer> found = new HashSet<>();
    taken.vet().vetted().setAside().forEach(s -> found.add(s.reading().row() - 2));
    assertThat(found).as("seed %d", seed).containsAll(bad).hasSizeLessThan(bad.size() + 2);
  }

  @Test
  void aFieldThatEndsEarlierIsNotJudgedHigher() {
    double[] c = new double[Term.count(5)];
    Arrays.fill(c, 1, c.length, 30);
    VettingTest.Taken taken =
        new VettingTest.Taken(
                VettingTest.array(24, NOISE), new Expansion(VettingTest.RADIUS, c), NOISE, 4)
            .turn(ANGLES);
    FittedSurvey fitted = taken.vet();
    assertThat(fitted.model().ppm().degree()).isBetween(5, 8);
    assertThat(fitted.model().degreeReason()).doesNotContain("judged");
  }

  /**
   * 20 of 400 readings bad by nine times the noise: together they raise the scatter so far that
   * four more of them would not stand out.
   */
  @Test
  void badReadingsDoNotHideEachOther() {
    SplittableRandom random = new SplittableRandom(74);
    VettingTest.Taken taken =
        new VettingTest.Taken(VettingTest.array(20, NOISE), NOISE, 74).turn(20);
    Set<Integer> bad = new HashSet<>();
    while (bad.size() < 20) {
      bad.add(random.nextInt(400));
    }
    for (int i : new TreeSet<>(bad)) {
      taken.shift(i, NOISE * 9 * (random.nextBoolean() ? 1 : -1));
    }
    taken.vet().vetted().setAside().forEach(s -> bad.remove(s.reading().row() - 2));
    assertThat(bad).as("missed").hasSizeLessThan(2);
  }
}
