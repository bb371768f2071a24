package org.fieldwright.core.outside;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;
import static org.fieldwright.core.outside.Pieces.DIRECTION;
import static org.fieldwright.core.outside.Pieces.piece;
import static org.fieldwright.core.outside.Pieces.readings;

import java.util.Comparator;
import java.util.List;
import org.fieldwright.core.Progress;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.magnetostatics.PointDipole;
import org.fieldwright.core.outside.OutsideFinding.Verdict;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class OutsideSearchTest {

  /** Problem D1 of the project's benchmark problems, to the digits it gives. */
  @ParameterizedTest
  @CsvSource({
    "0.35, 0, 0.02e-3, 0.005e-3",
    "0.45, 0, 0.15e-3, 0.005e-3",
    "0.60, 0, 1.2e-3, 0.05e-3",
    "0.90, 0, 16e-3, 0.5e-3",
    "0.35, 4, 0.04e-3, 0.005e-3",
    "0.45, 4, 0.75e-3, 0.005e-3",
    "0.60, 4, 18e-3, 0.5e-3",
    "0.90, 4, 1220e-3, 5e-3",
  })
  void theBoundIsThatOfTheBenchmark(double distance, int degree, double spread, double rounding) {
    PointDipole piece = piece(10, DIRECTION.times(distance));
    assertThat(Pieces.bound(piece, degree)).isCloseTo(spread, within(rounding));
  }

  /**
   * Root mean square of so few surveys scatters itself by about a fifth; the slow study does many.
   */
  @ParameterizedTest
  @CsvSource({"0.45, 0", "0.60, 0", "0.45, 4"})
  void theEstimateScattersByLittleMoreThanTheBound(double distance, int degree) {
    PointDipole piece = piece(10, DIRECTION.times(distance));
    assertThat(Pieces.scatterInBounds(piece, degree, 6)).isBetween(0.4, 1.5);
  }

  @Test
  void twoPiecesAreToldApartAndBothFound() {
    List<PointDipole> pieces =
        List.of(piece(10, DIRECTION.times(0.45)), piece(20, new Vec3(-0.4, 0.3, -0.2)));
    OutsideFinding found = Pieces.search(readings(pieces, 2, 4, 4));
    assertThat(found.verdict()).isEqualTo(Verdict.LOCATED);
    List<OutsideSource> sources =
        found.sources().stream().sorted(Comparator.comparingDouble(OutsideSource::iron)).toList();
    assertThat(sources).hasSize(2);
    for (int k = 0; k < 2; k++) {
      OutsideSource s = sources.get(k);
      assertThat(s.position().minus(pieces.get(k).position()).norm()).isLessThan(4 * s.spread());
      assertThat(s.iron()).isCloseTo(0.01 * (k + 1), within(4 * s.ironUncertainty()));
    }
    assertThat(found.evidence().get(2).againstNone())
        .isGreaterThan(found.evidence().get(1).againstNone() + OutsideFinding.STRONG);
  }

  @Test
  void aPieceMagnetisedAcrossTheFieldIsOnePieceAndNotSeveral() {
    PointDipole piece = piece(15, new Vec3(0.3, -0.25, 0.3), new Vec3(0.8, 0.1, 0.6));
    OutsideFinding found = Pieces.search(readings(List.of(piece), 2, 4, 5));
    assertThat(found.verdict()).isEqualTo(Verdict.LOCATED);
    assertThat(found.directionFree()).isTrue();
    assertThat(found.sources()).hasSize(1);
    OutsideSource s = found.sources().get(0);
    assertThat(s.position().minus(piece.position()).norm()).isLessThan(4 * s.spread());
    assertThat(s.onField()).isCloseTo(0.6 / Math.sqrt(1.01), within(0.05));
  }

  /** Stopped when it begins to look for a second piece, it tells of the one that it has found. */
  @Test
  void stoppedItKeepsTheBestSoFar() {
    PointDipole piece = piece(10, DIRECTION.times(0.5));
    Progress untilTheSecond =
        new Progress() {
          private boolean stop;

          @Override
          public void report(String stage, double fraction, double bestSoFar) {
            stop = stage.contains("for 2");
          }

          @Override
          public boolean shouldStop() {
            return stop;
          }
        };
    OutsideFinding found = OutsideSearch.in(readings(List.of(piece), 2, 2, 8), untilTheSecond);
    assertThat(found.verdict()).isEqualTo(Verdict.LOCATED);
    OutsideSource s = found.sources().get(0);
    assertThat(s.position().minus(piece.position()).norm()).isLessThan(4 * s.spread());
    assertThat(found.evidence()).hasSize(2);
  }

  @ParameterizedTest
  @CsvSource({"11", "12", "13"})
  void noiseAloneIsNoPiece(long seed) {
    assertThat(Pieces.search(readings(List.of(), 2, 2, seed)).verdict())
        .isEqualTo(Verdict.NOTHING_SEEN);
  }

  /** D1: at 1.5 m, from inside, 10 g are beyond reach; ten times as much shows but has no place. */
  @Test
  void whatCannotBeLocatedIsNotGivenAPlace() {
    Vec3 far = DIRECTION.times(1.5);
    assertThat(Pieces.search(readings(List.of(piece(10, far)), 2, 2, 3)).verdict())
        .isEqualTo(Verdict.NOTHING_SEEN);
    assertThat(Pieces.search(readings(List.of(piece(100, far)), 2, 2, 3)).verdict())
        .isEqualTo(Verdict.NOT_LOCATED);
  }

  /** The least piece told is seen where it shows least, and a third of it is not. */
  @Test
  void theLeastIronToldIsWhatShows() {
    OutsideFinding.Least least = Pieces.search(readings(List.of(), 2, 2, 1)).least().get(0);
    Vec3 at = DIRECTION.times(least.distance());
    double grams = 1e3 * least.iron();
    assertThat(Pieces.search(readings(List.of(piece(1.5 * grams, at)), 2, 2, 1)).sources())
        .hasSize(1);
    assertThat(Pieces.search(readings(List.of(piece(grams / 10, at)), 2, 2, 1)).sources())
        .isEmpty();
  }

  /** Turning everything about z turns the answer and changes nothing else. */
  @Test
  void theAnswerTurnsWithTheMagnet() {
    double turn = Math.toRadians(100);
    Vec3 at = DIRECTION.times(0.5);
    OutsideFinding found = Pieces.search(readings(List.of(piece(10, at)), 2, 2, 8));
    Vec3[] points = Pieces.points();
    for (int i = 0; i < points.length; i++) {
      points[i] = turned(points[i], turn);
    }
    OutsideFinding other =
        Pieces.search(readings(List.of(piece(10, turned(at, turn))), points, 2, 2, 8));
    Vec3 expected = turned(found.sources().get(0).position(), turn);
    OutsideSource source = other.sources().get(0);
    assertThat(source.position().minus(expected).norm()).isLessThan(0.02 * source.spread());
    assertThat(source.reach()).isCloseTo(found.sources().get(0).reach(), within(1e-5));
  }

  private static Vec3 turned(Vec3 p, double angle) {
    return Vec3.cylindrical(Math.hypot(p.x(), p.y()), p.azimuth() + angle, p.z());
  }
}
