package org.fieldwright.core.correction;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.SplittableRandom;
import org.fieldwright.core.Progress;
import org.fieldwright.core.correction.Loading.Place;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.homogeneity.Limit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class ShimPlannerTest {

  /**
   * HiGHS with cutting planes on a 2° grid: relaxed bound on the surface 5.432 ppm. The whole-piece
   * plan is recomputed here by direct sums over dipoles on a 1° grid.
   */
  @Test
  void plansTheBodyMagnet() {
    BodyMagnet magnet = BodyMagnet.P1;
    Plan plan = plan(magnet, magnet.iron(), request(Plan.Goal.PEAK_TO_PEAK, magnet.limit(20), 2));
    assertThat(plan.beforePpm()).isCloseTo(339.8, within(0.1));
    assertThat(plan.relaxedBoundPpm()).isBetween(5.432 * 0.995, 5.432 * 1.005);
    assertThat(plan.plannedPpm()).isGreaterThan(5.432).isLessThan(8);
    assertThat(plan.missedByPpm()).isZero();
    double direct = width(magnet, plan.planned());
    double scale = 1 + plan.centreShiftPpm() * 1e-6; // ppm of the new centre field
    assertThat(direct / scale).isBetween(plan.plannedPpm() * 0.997, plan.plannedPpm() + 1e-6);
  }

  /** HiGHS, surface: 7.360 kg for 20 ppm, 11.927 kg for 10 ppm. */
  @ParameterizedTest
  @ValueSource(ints = {20, 10})
  void boundsTheLeastIronOfTheBodyMagnet(int ppm) {
    BodyMagnet magnet = BodyMagnet.P1;
    double published = ppm == 20 ? 7.360 : 11.927;
    Plan plan = plan(magnet, magnet.iron(), request(Plan.Goal.LEAST_IRON, magnet.limit(ppm), 1));
    assertThat(plan.relaxedMassBound()).isBetween(published * 0.995, published * 1.005);
    assertThat(plan.massAdded()).isGreaterThan(published);
    assertThat(plan.unreachableByPpm()).isZero();
  }

  /** A mass bound says little if the plan beside it does not keep what was required. */
  @ParameterizedTest
  @ValueSource(ints = {20, 10})
  void keepsTheRequirementInWholePieces(int ppm) {
    BodyMagnet magnet = BodyMagnet.P1;
    Plan plan = plan(magnet, magnet.iron(), request(Plan.Goal.LEAST_IRON, magnet.limit(ppm), 8));
    assertThat(plan.missedByPpm()).isZero();
    double direct = width(magnet, plan.planned()) / (1 + plan.centreShiftPpm() * 1e-6);
    assertThat(direct).isLessThanOrEqualTo(ppm);
    // aims of the benchmark in 10 s: 7.6 and 12.3 kg; here few iterations must come near
    assertThat(plan.massAdded()).isLessThan(ppm == 20 ? 7.6 : 12.9);
  }

  @Test
  void saysByHowMuchATargetIsOutOfReach() {
    BodyMagnet magnet = BodyMagnet.P1;
    Plan plan = plan(magnet, magnet.iron(), request(Plan.Goal.LEAST_IRON, magnet.limit(3), 0));
    assertThat(plan.relaxedBoundPpm()).isBetween(5.432 * 0.995, 5.432 * 1.005);
    assertThat(plan.missedByPpm()).isGreaterThan(5.432 - 3);
    assertThat(plan.unreachableByPpm()).isBetween(5.432 * 0.995 - 3, 5.432 * 1.005 - 3);
  }

  @Test
  void findsTheSamePlanFromTheSameSeed() {
    BodyMagnet magnet = BodyMagnet.P2;
    ShimRequest request = request(Plan.Goal.LEAST_IRON, magnet.limit(30), 3);
    assertThat(plan(magnet, magnet.iron(), request))
        .usingRecursiveComparison()
        .isEqualTo(plan(magnet, magnet.iron(), request));
  }

  /** Random small systems of several kinds of pieces: nothing that binds is ever broken. */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12})
  void keepsEveryConstraint(long seed) {
    SplittableRandom random = new SplittableRandom(seed);
    BodyMagnet magnet = new BodyMagnet(1.5, 0.15, 60);
    PieceType thin = new PieceType("thin", null, 0.002 / 7870, 2.1, 7870);
    PieceType thick = new PieceType("thick", null, 0.005 / 7870, 2.1, 7870);
    int capacity = 2 + random.nextInt(30);
    Map<Place, Integer> installed = new HashMap<>();
    Set<IronSystem.PocketId> forbidden = new java.util.HashSet<>();
    List<Pocket> pockets =
        magnet.iron().pockets().stream()
            .filter(p -> p.tray() % 3 == 1 && p.number() % 2 == 0)
            .toList();
    for (Pocket p : pockets) {
      if (random.nextInt(3) == 0) {
        installed.put(
            new Place(p.tray(), p.number(), random.nextBoolean() ? "thin" : "thick"),
            1 + random.nextInt(capacity));
      }
      if (random.nextInt(5) == 0) {
        forbidden.add(new IronSystem.PocketId(p.tray(), p.number()));
      }
    }
    double trayLimit = random.nextBoolean() ? 0.5 : 0.2;
    IronSystem iron =
        new IronSystem(
            pockets,
            List.of(thin, thick),
            new IronSystem.Capacity(null, capacity),
            trayLimit,
            forbidden,
            new Loading(installed),
            Map.of("thin", 0.97),
            null,
            null,
            null,
            IronSystem.Stack.CENTRED);
    int mostChanges = random.nextBoolean() ? 40 : 4000;
    boolean removal = random.nextBoolean();
    ShimRequest request =
        new ShimRequest(
            random.nextBoolean() ? Plan.Goal.LEAST_IRON : Plan.Goal.PEAK_TO_PEAK,
            magnet.limit(40),
            List.of(),
            null,
            mostChanges,
            removal,
            3,
            seed);
    Plan plan = plan(magnet, iron, request);
    new ConstraintCheck(iron, request, plan).assertKept("seed " + seed);
  }

  private static ShimRequest request(Plan.Goal goal, Limit limit, long iterations) {
    return new ShimRequest(goal, limit, List.of(), null, null, true, iterations, 1);
  }

  private static Plan plan(BodyMagnet magnet, IronSystem iron, ShimRequest request) {
    return new ShimPlanner(iron, Vec3.UNIT_Z, List.of(request.target()))
        .plan(magnet.bare(), request, Progress.NONE);
  }

  private static double width(BodyMagnet magnet, Loading loading) {
    double max = Double.NEGATIVE_INFINITY;
    double min = Double.POSITIVE_INFINITY;
    for (int polar = 0; polar <= 180; polar++) {
      for (int azimuth = 0; azimuth < 360; azimuth += 2) {
        double v =
            magnet.field(
                loading,
                Vec3.spherical(magnet.radius(), Math.toRadians(polar), Math.toRadians(azimuth)));
        max = Math.max(max, v);
        min = Math.min(min, v);
      }
    }
    return max - min;
  }
}
