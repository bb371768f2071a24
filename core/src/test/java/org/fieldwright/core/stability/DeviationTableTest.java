package org.fieldwright.core.stability;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class DeviationTableTest {

  /**
   * SP 1065 table 5 (after S. Stein, 1985): simple forms for the overlapping Allan variance, N
   * phase points. They agree with the full theory to some 10 %; that for a random walk takes the
   * steps between samples as independent, which at small m they are not.
   */
  @ParameterizedTest
  @CsvSource({"1024, 1", "1024, 16", "1024, 128", "200, 4", "200, 30"})
  void overlappingAllanAgreesWithTheHandbooksSimpleForms(int values, int m) {
    double n = values + 1;
    double white = (3 * (n - 1) / (2 * m) - 2 * (n - 2) / n) * 4 * m * m / (4.0 * m * m + 5);
    double walk =
        (n - 2) / m * ((n - 1) * (n - 1) - 3 * m * (n - 1) + 4.0 * m * m) / ((n - 3) * (n - 3));
    DeviationKind kind = DeviationKind.OVERLAPPING_ALLAN;
    assertThat(DegreesOfFreedom.of(kind, NoiseType.WHITE, values, m))
        .isCloseTo(white, within(0.1 * white));
    if (m >= 16) {
      assertThat(DegreesOfFreedom.of(kind, NoiseType.RANDOM_WALK, values, m))
          .isCloseTo(walk, within(0.1 * walk));
    }
  }

  /**
   * The meaning itself: over many simulated records the variance estimate scatters as χ² with these
   * degrees of freedom does, var/mean² = 2/edf.
   */
  @ParameterizedTest
  @CsvSource({
    "ALLAN, WHITE, 4",
    "OVERLAPPING_ALLAN, WHITE, 1",
    "OVERLAPPING_ALLAN, WHITE_PHASE, 4",
    "OVERLAPPING_ALLAN, FLICKER_PHASE, 4",
    "OVERLAPPING_ALLAN, WHITE, 16",
    "OVERLAPPING_ALLAN, FLICKER, 16",
    "OVERLAPPING_ALLAN, RANDOM_WALK, 16",
    "MODIFIED_ALLAN, WHITE, 8",
    "MODIFIED_ALLAN, FLICKER, 8",
    "MODIFIED_ALLAN, RANDOM_WALK, 8",
    "OVERLAPPING_HADAMARD, WHITE, 16",
    "OVERLAPPING_HADAMARD, RANDOM_WALK, 8",
    "OVERLAPPING_HADAMARD, RANDOM_RUN, 8",
    "TOTAL, WHITE, 32",
    "TOTAL, RANDOM_WALK, 16",
    "MODIFIED_TOTAL, WHITE, 16",
    "MODIFIED_TOTAL, FLICKER, 16",
    "HADAMARD_TOTAL, WHITE, 16",
    "HADAMARD_TOTAL, RANDOM_WALK, 16"
  })
  void simulatedRecordsScatterAsTheDegreesOfFreedomSay(DeviationKind kind, NoiseType noise, int m) {
    long seed = 7;
    Random random = new Random(seed);
    int values = 128;
    int runs = 1500;
    double sum = 0;
    double squares = 0;
    for (int run = 0; run < runs; run++) {
      double deviation = new Deviations(PowerLawNoise.of(noise, values, random), 1).of(kind, m);
      double variance = deviation * deviation;
      sum += variance;
      squares += variance * variance;
    }
    double mean = sum / runs;
    double found = 2 * mean * mean / (squares / runs - mean * mean);
    double edf = DegreesOfFreedom.of(kind, noise, values, m);
    // 1,500 runs fix the scatter to 5–9 % (one standard deviation); the total kinds' tables are
    // fits good to some 10 %.
    assertThat(edf).as("seed %d, found %.2f", seed, found).isCloseTo(found, within(0.25 * found));
  }

  @ParameterizedTest
  @CsvSource({"WHITE_PHASE", "FLICKER_PHASE", "WHITE", "FLICKER", "RANDOM_WALK"})
  void noiseIsRecognised(NoiseType noise) {
    long seed = 11;
    double[] y = PowerLawNoise.of(noise, 1024, new Random(seed));
    Deviations deviations = new Deviations(y, 1);
    assertThat(NoiseIdentification.of(deviations.phase(), 1, 2))
        .as("seed %d", seed)
        .isEqualTo(noise);
  }

  /** A table of white noise: every true deviation is 1/√m, and about 68 % of intervals hold it. */
  @Test
  void intervalsHoldTheTruthAboutTwoTimesInThree() {
    long seed = 3;
    Random random = new Random(seed);
    int held = 0;
    int asked = 0;
    for (int run = 0; run < 200; run++) {
      Deviations deviations = new Deviations(PowerLawNoise.of(NoiseType.WHITE, 400, random), 60);
      for (DeviationTable.Row row :
          DeviationTable.of(deviations, null).of(DeviationKind.OVERLAPPING_ALLAN)) {
        double truth = 1 / Math.sqrt(row.factor());
        assertThat(row.tau()).isEqualTo(60 * row.factor());
        if (row.factor() <= 32) {
          asked++;
          held += row.low() <= truth && truth <= row.high() ? 1 : 0;
        }
      }
    }
    assertThat((double) held / asked).as("seed %d", seed).isBetween(0.62, 0.74);
  }
}
