package org.fieldwright.core.reading;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Locale;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.ArrayPlacement;
import org.fieldwright.core.harmonic.ArrayPlacement.Handling;
import org.fieldwright.core.magnetostatics.CurrentLoop;
import org.fieldwright.core.simulation.VirtualMagnet;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/**
 * Two virtual surveys of one magnet, the later one handled wrongly; the simulation is the referee.
 */
class EarlierSurveyTest {
  private static final ProbeArray ARRAY = TestSurveys.array(8);
  private static final int ANGLES = 14;

  private static Survey survey(long magnet, long seed) {
    return TestSurveys.take(TestSurveys.magnet(magnet), ARRAY, ANGLES, seed);
  }

  private static EarlierSurvey beside(Survey earlier, Survey later) {
    return EarlierSurvey.beside(
        TestSurveys.vet(earlier, ARRAY),
        TestSurveys.vet(later, ARRAY),
        ARRAY,
        VettingOptions.DEFAULT);
  }

  /** What a technician would write down: the sheet is right, the array was not. */
  private static Survey handled(Survey survey, Handling handling) {
    boolean mirrored = handling == Handling.TURNED_THE_OTHER_WAY || handling == Handling.BOTH;
    boolean reversed = handling == Handling.END_FOR_END || handling == Handling.BOTH;
    return TestSurveys.each(
        survey,
        r -> {
          double angle = mirrored ? (360 - r.angleDeg()) % 360 : r.angleDeg();
          Probe probe = ARRAY.requireProbe(reversed ? 9 - r.probe() : r.probe());
          Vec3 at = Vec3.spherical(probe.radius(), probe.polar(), Math.toRadians(angle));
          return new Reading(
              r.row(),
              probe.id(),
              angle,
              at,
              r.field(),
              r.sd(),
              r.averages(),
              r.locked(),
              r.time(),
              r.turn());
        });
  }

  @ParameterizedTest
  @EnumSource(Handling.class)
  void theHandlingIsNamedWithItsEvidence(Handling handling) {
    for (long seed = 1; seed <= 1; seed++) {
      EarlierSurvey found = beside(survey(seed, seed), handled(survey(seed, 100 + seed), handling));
      assertThat(found.placement().get(0).handling()).as("seed %d", seed).isEqualTo(handling);
      assertThat(ArrayPlacement.notToldApart(found.placement())).isEmpty();
      if (handling == Handling.AS_BEFORE) {
        assertThat(found.findings()).isEmpty();
      } else {
        assertThat(found.findings()).hasSize(1);
        assertThat(found.findings().get(0).what().id())
            .isEqualTo(
                handling
                    .name()
                    .toLowerCase(Locale.ROOT)
                    .replace("both", "turned_the_other_way_and_end_for_end"));
        assertThat(found.findings().get(0).evidence()).isGreaterThan(50);
      }
    }
  }

  /** An axial field and no more probes than it takes up: any order of the probes is a field. */
  @Test
  void anExchangeThatOneSurveyCannotShowIsNamed() {
    VirtualMagnet magnet =
        VirtualMagnet.energised(
            Vec3.UNIT_Z,
            List.of(CurrentLoop.coaxial(1.2, 0.6, 1), CurrentLoop.coaxial(1.2, -0.601, 1.0004)),
            List.of(),
            0.55);
    ProbeArray few = TestSurveys.array(6);
    FittedSurvey earlier = TestSurveys.vet(TestSurveys.take(magnet, few, 12, 1), few);
    Survey right = TestSurveys.take(magnet, few, 12, 2);
    for (int a = 1; a <= 4; a++) {
      Survey wrong = right.exchanged(few.requireProbe(a), few.requireProbe(a + 2));
      FittedSurvey later = TestSurveys.vet(wrong, few);
      assertThat(later.vetted().findings()).isEmpty();
      EarlierSurvey found = EarlierSurvey.beside(earlier, later, few, VettingOptions.DEFAULT);
      assertThat(found.findings()).as("probe %d", a).hasSize(1);
      assertThat(found.findings().get(0).words())
          .startsWith("Probes %d and %d look exchanged against survey-1.csv".formatted(a, a + 2));
      assertThat(found.placement().get(0).misfit()).isLessThan(EarlierSurvey.FIELD_CHANGED);
    }
  }

  /** A field that turning end over end does not change says nothing about how the array stood. */
  @Test
  void aSymmetricFieldIsSaidNotToTell() {
    VirtualMagnet magnet =
        VirtualMagnet.energised(
            Vec3.UNIT_Z,
            List.of(CurrentLoop.coaxial(0.5, 0.4, 1), CurrentLoop.coaxial(0.5, -0.4, 1)),
            List.of(),
            0.55);
    EarlierSurvey found =
        beside(
            TestSurveys.take(magnet, ARRAY, ANGLES, 1), TestSurveys.take(magnet, ARRAY, ANGLES, 2));
    assertThat(found.findings()).isEmpty();
    assertThat(found.placement().get(0).handling()).isEqualTo(Handling.AS_BEFORE);
    assertThat(ArrayPlacement.notToldApart(found.placement())).hasSize(3);
  }

  @Test
  void nothingIsNamedWhereNothingIsWrong() {
    ProbeArray small = TestSurveys.array(6);
    for (long magnet = 1; magnet <= 5; magnet++) {
      VirtualMagnet same = TestSurveys.magnet(magnet);
      FittedSurvey earlier = TestSurveys.vet(TestSurveys.take(same, small, 10, magnet), small);
      for (long seed = 1; seed <= 20; seed++) {
        Survey later = TestSurveys.take(same, small, 10, 100 * magnet + seed);
        assertThat(
                EarlierSurvey.beside(
                        earlier, TestSurveys.vet(later, small), small, VettingOptions.DEFAULT)
                    .findings())
            .as("magnet %d, seed %d", magnet, seed)
            .isEmpty();
      }
    }
  }
}
