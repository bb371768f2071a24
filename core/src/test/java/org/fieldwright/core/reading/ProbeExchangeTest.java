package org.fieldwright.core.reading;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.fieldwright.core.simulation.Fault;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Virtual surveys whose cables were exchanged on purpose; the simulation is the referee. */
class ProbeExchangeTest {
  private static final ProbeArray ARRAY = TestSurveys.array(12);

  private static Survey survey(long seed, Fault... faults) {
    return TestSurveys.take(TestSurveys.magnet(seed), ARRAY, 16, seed, faults);
  }

  private static Survey exchanged(Survey survey, int a, int b) {
    return survey.exchanged(ARRAY.requireProbe(a), ARRAY.requireProbe(b));
  }

  /** Neighbours, the ends, mirror images, some with other faults: named, and the field is right. */
  @ParameterizedTest
  @CsvSource({"1,6,7", "2,1,12", "3,1,2", "4,3,10", "5,4,9", "6,11,12"})
  void exchangedCablesAreNamedAndTheFieldIsTheSame(long seed, int a, int b) {
    Fault[] others = {
      new Fault.NoLock(2, 90), new Fault.Outlier(8, 45, 120), new Fault.Outlier(4, 180, -3)
    };
    FittedSurvey right = TestSurveys.vet(survey(seed, others), ARRAY);
    FittedSurvey wrong = TestSurveys.vet(exchanged(survey(seed, others), a, b), ARRAY);
    assertThat(wrong.vetted().findings()).as("seed %d", seed).hasSize(1);
    Finding finding = wrong.vetted().findings().get(0);
    assertThat(finding.what()).isEqualTo(Finding.What.EXCHANGED_PROBES);
    assertThat(finding.words()).startsWith("Probes %d and %d look exchanged".formatted(a, b));
    assertThat(finding.evidence()).isGreaterThan(35);
    assertThat(wrong.vetted().warnings()).contains(finding.sentences());
    assertThat(wrong.vetted().setAside()).hasSameSizeAs(right.vetted().setAside());
    double[] expected = right.model().ppm().coefficients();
    double[] found = wrong.model().ppm().coefficients();
    assertThat(found).hasSameSizeAs(expected);
    for (int i = 0; i < found.length; i++) {
      assertThat(found[i]).isCloseTo(expected[i], within(1e-9));
    }
  }

  /** One probe off by a lot, or bad readings on two, are no exchange. */
  @Test
  void otherFaultsAreNotTakenForIt() {
    for (long seed = 1; seed <= 6; seed++) {
      Fault[] faults = {
        new Fault.ProbeOffset(5, 40),
        new Fault.Outlier(7, 45, 30),
        new Fault.Outlier(7, 90, -20),
        new Fault.Outlier(7, 180, 8),
        new Fault.WrongAngle(270, 2)
      };
      assertThat(TestSurveys.vet(survey(seed, faults), ARRAY).vetted().findings())
          .as("seed %d", seed)
          .isEmpty();
    }
  }

  @Test
  void nothingIsNamedWhereNothingIsWrong() {
    ProbeArray small = TestSurveys.array(6);
    for (long seed = 1; seed <= 100; seed++) {
      Survey survey = TestSurveys.take(TestSurveys.magnet(seed), small, 10, seed);
      assertThat(TestSurveys.vet(survey, small).vetted().findings())
          .extracting(Finding::what)
          .as("seed %d", seed)
          .isSubsetOf(Finding.What.SCATTER_ABOVE_STATED); // six planes are few for these magnets
    }
  }
}
