package org.fieldwright.core.stability;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.SplittableRandom;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Published values: NIST SP 1065 (W. J. Riley, 2008), test suite on pp. 107–108, seven digits.
 * Modified total, time total and Hadamard total carry the white-noise bias there.
 */
class DeviationsTest {
  private static final double[] NINE = {892, 809, 823, 798, 671, 644, 883, 903, 677};

  /** The handbook's thousand points: n' = 16807 n mod 2147483647 from 1234567890. */
  static double[] thousand() {
    double[] y = new double[1000];
    long n = 1234567890L;
    for (int i = 0; i < y.length; i++) {
      y[i] = n / 2147483647.0;
      if (i == 999) {
        assertThat(n).isEqualTo(1560135652L);
      }
      n = 16807 * n % 2147483647L;
    }
    return y;
  }

  @ParameterizedTest
  @CsvSource({
    "ALLAN, 91.22945, 115.8082",
    "OVERLAPPING_ALLAN, 91.22945, 85.95287",
    "MODIFIED_ALLAN, 91.22945, 74.78849",
    "TIME, 52.67135, 86.35831",
    "HADAMARD, 70.80607, 116.7980",
    "OVERLAPPING_HADAMARD, 70.80607, 85.61487",
    "HADAMARD_TOTAL, 70.80607, 91.16396",
    "TOTAL, 91.22945, 93.90379",
    "MODIFIED_TOTAL, 75.50203, 75.83606",
    "TIME_TOTAL, 43.59112, 87.56794"
  })
  void nineValuesGiveTheHandbooksDigits(DeviationKind kind, double one, double two) {
    Deviations deviations = new Deviations(NINE, 1);
    assertThat(deviations.of(kind, 1)).isCloseTo(one, within(one * 4e-7));
    assertThat(deviations.of(kind, 2)).isCloseTo(two, within(two * 4e-7));
  }

  @ParameterizedTest
  @CsvSource({
    "ALLAN, 2.922319e-1, 9.965736e-2, 3.897804e-2",
    "OVERLAPPING_ALLAN, 2.922319e-1, 9.159953e-2, 3.241343e-2",
    "MODIFIED_ALLAN, 2.922319e-1, 6.172376e-2, 2.170921e-2",
    "TIME, 1.687202e-1, 3.563623e-1, 1.253382e0",
    "HADAMARD, 2.943883e-1, 1.052754e-1, 3.910860e-2",
    "OVERLAPPING_HADAMARD, 2.943883e-1, 9.581083e-2, 3.237638e-2",
    "HADAMARD_TOTAL, 2.943883e-1, 9.614787e-2, 3.058103e-2",
    "TOTAL, 2.922319e-1, 9.134743e-2, 3.406530e-2",
    "MODIFIED_TOTAL, 2.418528e-1, 6.499161e-2, 2.287774e-2",
    "TIME_TOTAL, 1.396338e-1, 3.752293e-1, 1.320847e0"
  })
  void aThousandValuesGiveTheHandbooksDigits(
      DeviationKind kind, double one, double ten, double hundred) {
    Deviations deviations = new Deviations(thousand(), 1);
    assertThat(deviations.of(kind, 1)).isCloseTo(one, within(one * 4e-7));
    assertThat(deviations.of(kind, 10)).isCloseTo(ten, within(ten * 4e-7));
    assertThat(deviations.of(kind, 100)).isCloseTo(hundred, within(hundred * 4e-7));
  }

  /** Every estimator at its largest m still has a term. */
  @Test
  void theLargestFactorIsTheLast() {
    Deviations deviations = new Deviations(NINE, 1);
    for (DeviationKind kind : DeviationKind.values()) {
      assertThat(deviations.of(kind, deviations.largestFactor(kind))).as(kind.id()).isPositive();
    }
  }

  /**
   * The sweep against the definition, for factors that double and that do not, alone and shared.
   */
  @Test
  void theSweepOverManyFactorsEqualsTheDefinition() {
    long seed = 20261125;
    SplittableRandom random = new SplittableRandom(seed);
    double[] y = random.doubles(150_001).toArray();
    int[] factors = {1, 2, 3, 4, 8, 10, 20, 511, 1022, 5000, 70_000, 75_000};
    Deviations deviations = new Deviations(y, 1);
    ExecutorService pool = Executors.newFixedThreadPool(2);
    double[] shared;
    try {
      shared = deviations.overlappingAllan(factors, pool);
    } finally {
      pool.shutdown();
    }
    double[] alone = deviations.overlappingAllan(factors, null);
    for (int k = 0; k < factors.length; k++) {
      double expected = overlappingAllan(y, factors[k]);
      String what = "m = " + factors[k] + ", seed " + seed;
      assertThat(alone[k]).as(what).isCloseTo(expected, within(expected * 1e-10));
      assertThat(shared[k]).as(what).isCloseTo(expected, within(expected * 1e-10));
    }
  }

  /** Straight from the definition: half the mean square of differences of neighbouring means. */
  private static double overlappingAllan(double[] y, int m) {
    double[] sums = new double[y.length + 1];
    for (int i = 0; i < y.length; i++) {
      sums[i + 1] = sums[i] + y[i];
    }
    double square = 0;
    int terms = y.length - 2 * m + 1;
    for (int i = 0; i < terms; i++) {
      double first = (sums[i + m] - sums[i]) / m;
      double second = (sums[i + 2 * m] - sums[i + m]) / m;
      square += (second - first) * (second - first);
    }
    return Math.sqrt(square / terms / 2);
  }
}
