package org.fieldwright.core.outside;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Tag;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * How near the estimate comes to the Cramér–Rao bound, over many surveys: the method note's table.
 */
@Tag("slow")
class OutsideStudyTest {
  private static final int SURVEYS = 20;

  @ParameterizedTest
  @CsvSource({
    "0.35, 0", "0.45, 0", "0.60, 0", "0.90, 0", "0.35, 4", "0.45, 4", "0.60, 4",
  })
  void theEstimateReachesTheBound(double distance, int degree) {
    var piece = Pieces.piece(10, Pieces.DIRECTION.times(distance));
    double ratio = Pieces.scatterInBounds(piece, degree, SURVEYS);
    System.out.printf(
        "%.2f m, degree %d: bound %.4g mm, scatter %.3f bounds over %d surveys%n",
        distance, degree, 1e3 * Pieces.bound(piece, degree), ratio, SURVEYS);
    assertThat(ratio).isLessThan(1.5);
  }
}
