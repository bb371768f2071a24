package org.fieldwright.core.correction;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.SplittableRandom;
import org.fieldwright.core.Progress;
import org.fieldwright.core.correction.IronSystem.PocketId;
import org.fieldwright.core.correction.Loading.Place;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.harmonic.Term;
import org.fieldwright.core.homogeneity.Limit;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/**
 * Random small magnets with every rule at once, planned for every goal: no rule is ever broken.
 * What is kept is checked from the loadings alone, the shift of the centre by direct sums.
 */
class RandomPlansTest {
  private static final BodyMagnet MAGNET = new BodyMagnet(1.5, 0.15, 60);

  @Test
  void noRuleIsBroken() {
    check(1, 13);
  }

  @Test
  @Tag("slow")
  void noRuleIsBrokenInAThousand() {
    check(1000, 2000);
  }

  private static void check(long first, long last) {
    for (long seed = first; seed < last; seed++) {
      check(seed);
    }
  }

  private static void check(long seed) {
    SplittableRandom random = new SplittableRandom(seed);
    IronSystem iron = iron(random);
    List<Coil> coils = random.nextInt(3) == 0 ? List.of(coil()) : List.of();
    PlanRules rules =
        new PlanRules(
            random.nextBoolean() ? 30 : null,
            random.nextBoolean(),
            random.nextInt(3) == 0,
            random.nextBoolean() ? 3.0 : null,
            0.25);
    Plan.Goal[] goals = Plan.Goal.values();
    Limit limit = MAGNET.limit(40);
    ShimRequest request =
        new ShimRequest(
            goals[random.nextInt(goals.length)], limit, List.of(), null, rules, 2, seed);
    FieldModel bare = MAGNET.bare();
    Plan plan =
        new ShimPlanner(iron, coils, Vec3.UNIT_Z, List.of(limit))
            .plan(bare, request, Progress.NONE);
    String what = "seed %d, %s".formatted(seed, request);
    new ConstraintCheck(iron, request, plan).assertKept(what);
    checkStock(iron, plan, what);
    if (rules.symmetric()) {
      checkSymmetric(iron, plan, what);
    }
    Double most = rules.mostShiftPpm();
    if (most != null) {
      assertThat(Math.abs(shift(iron, coils, plan))).as(what).isLessThanOrEqualTo(most + 1e-6);
      assertThat(plan.centreShiftPpm()).as(what).isCloseTo(shift(iron, coils, plan), within(1e-5));
    }
    for (Coil coil : coils) {
      double to = plan.coilsTo().getOrDefault(coil.id(), Double.NaN);
      assertThat(Math.abs(to)).as(what).isLessThanOrEqualTo(0.75 * coil.limit() + 1e-9);
      double steps = (to - coil.set()) / coil.step();
      assertThat(steps).as(what).isCloseTo(Math.rint(steps), within(1e-6));
    }
  }

  private static void checkStock(IronSystem iron, Plan plan, String what) {
    for (PieceType piece : iron.pieces()) {
      int net = 0;
      for (Pocket p : iron.pockets()) {
        Place place = new Place(p.tray(), p.number(), piece.id());
        net += plan.planned().count(place) - plan.installed().count(place);
      }
      Integer stock = piece.stock();
      if (stock != null) {
        assertThat(net).as("%s: stock of %s", what, piece.id()).isLessThanOrEqualTo(stock);
      }
    }
  }

  /** Pocket k mirrors pocket 16 − k of the same tray. */
  private static void checkSymmetric(IronSystem iron, Plan plan, String what) {
    for (Pocket p : iron.pockets()) {
      for (PieceType piece : iron.pieces()) {
        Place here = new Place(p.tray(), p.number(), piece.id());
        Place there = new Place(p.tray(), 16 - p.number(), piece.id());
        assertThat(plan.planned().count(here) - plan.installed().count(here))
            .as("%s: %s", what, here)
            .isEqualTo(plan.planned().count(there) - plan.installed().count(there));
      }
    }
  }

  /** ppm at the centre, by direct sums over dipoles. */
  private static double shift(IronSystem iron, List<Coil> coils, Plan plan) {
    double sum = 0;
    for (Pocket p : iron.pockets()) {
      for (PieceType piece : iron.pieces()) {
        Place place = new Place(p.tray(), p.number(), piece.id());
        int change = plan.planned().count(place) - plan.installed().count(place);
        double grams4 = piece.mass() * iron.strengthOf(piece) / BodyMagnet.PIECE;
        sum += change * grams4 * MAGNET.ppmPerPiece(p.centre(), Vec3.ZERO);
      }
    }
    for (Coil coil : coils) {
      double change = plan.coilsTo().getOrDefault(coil.id(), 0.0) - coil.set();
      sum += change * coil.response().at(Vec3.ZERO);
    }
    return sum;
  }

  private static Coil coil() {
    double[] c = new double[Term.count(2)];
    c[0] = 0.3;
    c[1] = 1;
    c[6] = -0.4;
    return new Coil("Z", 4, 0.1, 0.5, new Expansion(0.15, c));
  }

  private static IronSystem iron(SplittableRandom random) {
    List<PieceType> pieces = new ArrayList<>();
    pieces.add(piece("thin", 0.002, random));
    if (random.nextBoolean()) {
      pieces.add(piece("thick", 0.005, random));
    }
    int capacity = 2 + random.nextInt(30);
    Map<Place, Integer> installed = new HashMap<>();
    Set<PocketId> forbidden = new HashSet<>();
    List<Pocket> pockets =
        MAGNET.iron().pockets().stream()
            .filter(p -> p.tray() % 4 == 1 && p.number() % 2 == 0)
            .toList();
    for (Pocket p : pockets) {
      if (random.nextInt(3) == 0) {
        String kind = pieces.get(random.nextInt(pieces.size())).id();
        installed.put(new Place(p.tray(), p.number(), kind), 1 + random.nextInt(capacity));
      }
      if (random.nextInt(5) == 0) {
        forbidden.add(new PocketId(p.tray(), p.number()));
      }
    }
    return new IronSystem(
        pockets,
        pieces,
        new IronSystem.Capacity(null, capacity),
        random.nextBoolean() ? 0.5 : 0.2,
        forbidden,
        new Loading(installed),
        Map.of("thin", 0.97),
        null,
        new IronSystem.Errors(0.01, 0.005, 0.0005, 0.01),
        null,
        IronSystem.Stack.CENTRED);
  }

  private static PieceType piece(String id, double mass, SplittableRandom random) {
    Integer stock = random.nextInt(3) == 0 ? (Integer) random.nextInt(60) : null;
    return new PieceType(id, null, mass / 7870, 2.1, 7870, stock, PieceType.IRON_PER_KELVIN);
  }
}
