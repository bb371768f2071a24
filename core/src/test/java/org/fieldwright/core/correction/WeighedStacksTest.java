package org.fieldwright.core.correction;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.SplittableRandom;
import org.fieldwright.core.correction.IronSystem.Errors;
import org.fieldwright.core.correction.IronSystem.PocketId;
import org.fieldwright.core.correction.Loading.Place;
import org.fieldwright.core.correction.WeighedStacks.Stack;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.geometry.Volume;
import org.fieldwright.core.harmonic.FieldModel;
import org.junit.jupiter.api.Test;

/** Stacks that were weighed, against direct sums over dipoles of the weighed moment. */
class WeighedStacksTest {
  private static final BodyMagnet MAGNET = BodyMagnet.P1;

  private static WeighedStacks some() {
    SplittableRandom random = new SplittableRandom(3);
    Map<Place, Stack> stacks = new HashMap<>();
    for (int k = 1; k <= 9; k++) {
      int pieces = 1 + random.nextInt(50);
      double worth = pieces * random.nextDouble(0.95, 1.05);
      stacks.put(new Place(2 * k, k, "4 g"), new Stack(pieces, worth));
    }
    return new WeighedStacks(stacks);
  }

  @Test
  void countWithTheirMass() {
    WeighedStacks weighed = some();
    FieldModel after = weighed.after(MAGNET.iron(), Vec3.UNIT_Z, MAGNET.bare(), MAGNET.radius());
    double scale = after.centreField() / MAGNET.centreField();
    for (Vec3 p : MAGNET.readingPoints().subList(0, 100)) {
      double direct = MAGNET.bare().ppm().at(p);
      for (Map.Entry<Place, Stack> e : weighed.stacks().entrySet()) {
        Vec3 pocket = BodyMagnet.place(e.getKey().tray(), e.getKey().pocket());
        direct += e.getValue().worth() * MAGNET.ppmPerPiece(pocket, p);
      }
      // field = Bc (1 + ppm·1e-6) before and after
      double found = 1e6 * (scale - 1) + scale * after.ppm().at(p);
      assertThat(found).isCloseTo(direct, within(1e-5));
    }
  }

  @Test
  void areNotTouchedAgain() {
    WeighedStacks weighed = some();
    PieceType scarce =
        new PieceType("4 g", null, BodyMagnet.PIECE / BodyMagnet.DENSITY, 2.1, 7870, 1000, 0);
    IronSystem iron = MAGNET.iron().with(List.of(scarce), Set.of(new PocketId(1, 1)));
    IronSystem rest = weighed.rest(iron);
    int used = weighed.stacks().values().stream().mapToInt(Stack::pieces).sum();
    assertThat(rest.pieces().get(0).stock()).isEqualTo(1000 - used);
    assertThat(rest.forbidden()).hasSize(10).contains(new PocketId(1, 1), new PocketId(8, 4));
    assertThat(rest.installed()).isEqualTo(weighed.loaded(Loading.EMPTY));
  }

  /** With masses as the only errors and every stack weighed, nothing is left to chance. */
  @Test
  void leaveNoDoubtOfTheirMass() {
    WeighedStacks weighed = some();
    IronSystem iron = MAGNET.iron().withErrors(new Errors(0.02, 0.01, 0, 0));
    PromiseForecast promises = new PromiseForecast(iron, Vec3.UNIT_Z);
    Loading to = weighed.loaded(Loading.EMPTY);
    Volume sphere = Objects.requireNonNull(MAGNET.limit(10).volume());
    Promise known = promises.promise(MAGNET.bare(), Loading.EMPTY, to, weighed, sphere);
    Promise guessed =
        promises.promise(MAGNET.bare(), Loading.EMPTY, to, WeighedStacks.NONE, sphere);
    assertThat(known.ppm95()).isCloseTo(known.meanPpm(), within(1e-9));
    assertThat(guessed.ppm95() - guessed.meanPpm()).isGreaterThan(0.1);
  }

  @Test
  void ofTheWrongCountAreDoubted() {
    Place short3 = new Place(1, 2, "4 g");
    Place fine = new Place(1, 3, "4 g");
    WeighedStacks weighed =
        new WeighedStacks(Map.of(short3, new Stack(10, 9.4), fine, new Stack(10, 10.3)));
    assertThat(weighed.doubts(MAGNET.iron()))
        .containsExactly(
            "tray 1 pocket 2: 10 pieces of 4 g should weigh 40.00 g, weighed 37.60 g: is the count right?");
  }
}
