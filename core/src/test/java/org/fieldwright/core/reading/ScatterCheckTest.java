package org.fieldwright.core.reading;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** The scatter drawn is the referee, and the tables of chi-square. */
class ScatterCheckTest {

  private static List<Finding.What> found(double statedPpm, double drawnPpm, long seed) {
    VettingTest.Taken taken =
        new VettingTest.Taken(VettingTest.array(14, statedPpm), drawnPpm, seed);
    return taken.turn(28).vet().vetted().findings().stream().map(Finding::what).toList();
  }

  @Test
  void scatterBeyondWhatIsStatedIsNamed() {
    assertThat(found(0.02, 0.03, 1)).containsExactly(Finding.What.SCATTER_ABOVE_STATED);
  }

  @Test
  void scatterBelowWhatIsStatedIsNamed() {
    assertThat(found(0.05, 0.03, 1)).containsExactly(Finding.What.SCATTER_BELOW_STATED);
  }

  @Test
  void scatterAsStatedIsNoFinding() {
    for (long seed = 1; seed <= 10; seed++) {
      assertThat(found(0.02, 0.02, seed)).as("seed %d", seed).isEmpty();
    }
  }

  /** Quantiles of chi-square: Abramowitz and Stegun 1964, table 26.8. */
  @ParameterizedTest
  @CsvSource({
    "18.3070, 10, 1.6449",
    "43.7730, 30, 1.6449",
    "149.449, 100, 3.0902",
    "3.94030, 10, -1.6449"
  })
  void theDeviateIsThatOfTheTables(double chiSquare, int dof, double normal) {
    assertThat(ScatterCheck.deviate(chiSquare / dof, dof)).isCloseTo(normal, within(0.01));
  }
}
