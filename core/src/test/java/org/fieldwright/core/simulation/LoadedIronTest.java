package org.fieldwright.core.simulation;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.fieldwright.core.correction.IronSystem;
import org.fieldwright.core.correction.IronSystem.Capacity;
import org.fieldwright.core.correction.IronSystem.Errors;
import org.fieldwright.core.correction.IronSystem.Stack;
import org.fieldwright.core.correction.Loading;
import org.fieldwright.core.correction.Loading.Place;
import org.fieldwright.core.correction.PieceType;
import org.fieldwright.core.correction.Pocket;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.magnetostatics.Block;
import org.fieldwright.core.magnetostatics.PointDipole;
import org.junit.jupiter.api.Test;

class LoadedIronTest {
  private static final PieceType THIN =
      new PieceType("thin", new PieceType.Size(0.04, 0.03, 1e-4), 0.04 * 0.03 * 1e-4, 2.1, 7850);
  private static final PieceType POINT = new PieceType("point", null, 1e-7, 2.1, 7850);
  private static final int POCKETS = 400;

  private static IronSystem iron(Errors errors, Stack stack) {
    List<Pocket> pockets =
        java.util.stream.IntStream.rangeClosed(1, POCKETS)
            .mapToObj(k -> new Pocket(k, 1, Vec3.cylindrical(0.37, k * 0.01, 0.3), null))
            .toList();
    return new IronSystem(
        pockets,
        List.of(THIN, POINT),
        new Capacity(0.012, null),
        null,
        Set.of(),
        Loading.EMPTY,
        Map.of("thin", 0.5),
        null,
        errors,
        null,
        stack);
  }

  private static Loading everywhere(String piece, int count) {
    Map<Place, Integer> counts = new HashMap<>();
    for (int k = 1; k <= POCKETS; k++) {
      counts.put(new Place(k, 1, piece), count);
    }
    return new Loading(counts);
  }

  private static double worth(Object source) {
    return source instanceof PointDipole dipole
        ? dipole.moment().z() / (POINT.polarisation() * POINT.volume())
        : ((Block) source).polarisation().z()
            * ((Block) source).volume()
            / (THIN.polarisation() * THIN.volume());
  }

  /** The file's learned strength is a belief about the iron; the iron itself does not know it. */
  @Test
  void withoutErrorsItIsWhatWasPlannedTimesTheTrueStrength() {
    LoadedIron loaded =
        new LoadedIron(
            iron(new Errors(0, 0, 0, 0), Stack.CENTRED), Vec3.UNIT_Z, Map.of("thin", 0.97), 1);
    assertThat(loaded.sources(everywhere("thin", 10)))
        .hasSize(POCKETS)
        .allSatisfy(s -> assertThat(worth(s)).isCloseTo(9.7, within(1e-12)));
    Block first = (Block) loaded.sources(everywhere("thin", 10)).get(0);
    assertThat(first.centre()).isEqualTo(Vec3.cylindrical(0.37, 0.01, 0.3));
    assertThat(first.azimuth()).isCloseTo(0.01, within(1e-12));
  }

  /**
   * A stack of ten grows from the wall of a 12 mm pocket: its centre is 5.5 mm outside the middle.
   */
  @Test
  void stacksGrowFromTheirWall() {
    for (Stack stack : List.of(Stack.OUTSIDE_IN, Stack.INSIDE_OUT)) {
      LoadedIron loaded =
          new LoadedIron(iron(new Errors(0, 0, 0, 0), stack), Vec3.UNIT_Z, Map.of(), 1);
      Block first = (Block) loaded.sources(everywhere("thin", 10)).get(0);
      double expected = 0.37 + (stack == Stack.OUTSIDE_IN ? 0.0055 : -0.0055);
      assertThat(Math.hypot(first.centre().x(), first.centre().y()))
          .isCloseTo(expected, within(1e-12));
      assertThat(first.radial()).isCloseTo(1e-3, within(1e-15));
      assertThat(worth(first)).isCloseTo(10, within(1e-12));
    }
  }

  /**
   * Over 400 pockets of 25 pieces the spread of a pocket is 1 % × √25 pieces; a sample's standard
   * deviation is known to 1/√(2·399) = 3.5 %, so four of those are allowed.
   */
  @Test
  void pieceErrorsAverageOutInAStackAndLotErrorsDoNot() {
    LoadedIron pieces =
        new LoadedIron(
            iron(new Errors(0.01, 0, 0, 0), Stack.CENTRED), Vec3.UNIT_Z, Map.of(), 20260315);
    assertThat(spread(pieces)).isCloseTo(0.05, within(0.05 * 0.14));
    LoadedIron lot =
        new LoadedIron(
            iron(new Errors(0, 0.01, 0, 0), Stack.CENTRED), Vec3.UNIT_Z, Map.of(), 20260315);
    assertThat(spread(lot)).isLessThan(1e-9);
    double off = worth(lot.sources(everywhere("thin", 25)).get(0)) / 25 - 1;
    assertThat(Math.abs(off)).isBetween(1e-4, 0.04);
    // A lot is a lot, however many of it lie in the pocket.
    assertThat(worth(lot.sources(everywhere("thin", 3)).get(0)) / 3 - 1)
        .isCloseTo(off, within(1e-12));
  }

  private static double spread(LoadedIron loaded) {
    double[] worths =
        loaded.sources(everywhere("thin", 25)).stream()
            .mapToDouble(LoadedIronTest::worth)
            .toArray();
    double mean = java.util.Arrays.stream(worths).average().orElseThrow();
    double squares = java.util.Arrays.stream(worths).map(w -> (w - mean) * (w - mean)).sum();
    return Math.sqrt(squares / (worths.length - 1));
  }

  /** A second round adds pieces; those that stay weigh what they weighed. */
  @Test
  void whatStaysKeepsItsErrors() {
    LoadedIron loaded =
        new LoadedIron(
            iron(new Errors(0.01, 0, 0.001, 0), Stack.CENTRED), Vec3.UNIT_Z, Map.of(), 7);
    double first = worth(loaded.sources(everywhere("point", 1)).get(0));
    double both = worth(loaded.sources(everywhere("point", 2)).get(0));
    assertThat(both - first).isNotEqualTo(first).isCloseTo(1, within(0.05));
    assertThat(loaded.sources(everywhere("point", 2)))
        .isEqualTo(loaded.sources(everywhere("point", 2)));
    LoadedIron other = new LoadedIron(loaded.iron(), loaded.fieldAxis(), loaded.trueStrength(), 8);
    assertThat(other.sources(everywhere("point", 2)))
        .isNotEqualTo(loaded.sources(everywhere("point", 2)));
  }
}
