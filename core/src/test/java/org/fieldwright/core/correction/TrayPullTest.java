package org.fieldwright.core.correction;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.fieldwright.core.correction.Loading.Place;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.magnetostatics.CurrentLoop;
import org.junit.jupiter.api.Test;

/** Against the field of one loop on its axis and the energy of a dipole in it. */
class TrayPullTest {
  private static final double RADIUS = 0.5;
  private static final double AMPERE = 1e6;
  private static final double MU_0 = 1.25663706127e-6; // CODATA 2022
  private static final double CENTRE = MU_0 * AMPERE / (2 * RADIUS);
  private static final PieceType PIECE = new PieceType("p", null, 2e-6, 2.0, 7850);

  /** Axis of a loop: dB/dz = −(3/2) μ0 I a² z/(a² + z²)^{5/2}. */
  private static double slope(double z) {
    double a2 = RADIUS * RADIUS;
    return -1.5 * MU_0 * AMPERE * a2 * z / Math.pow(a2 + z * z, 2.5);
  }

  private static FieldGradient axis() {
    List<FieldGradient.Place> places = new ArrayList<>();
    for (int mm = -1000; mm <= 1000; mm++) {
      places.add(new FieldGradient.Place(mm * 1e-3, slope(mm * 1e-3), 0.5 * mm * 1e-3));
    }
    return new FieldGradient(places);
  }

  private static IronSystem iron(double... z) {
    List<Pocket> pockets = new ArrayList<>();
    for (int i = 0; i < z.length; i++) {
      pockets.add(new Pocket(1, i + 1, new Vec3(0, 0, z[i]), null));
    }
    return new IronSystem(
        pockets,
        List.of(PIECE),
        new IronSystem.Capacity(null, 100),
        null,
        Set.of(),
        Loading.EMPTY,
        Map.of(),
        null,
        null,
        null,
        IronSystem.Stack.CENTRED,
        axis());
  }

  private static Loading pieces(int... counts) {
    Map<Place, Integer> loading = new java.util.HashMap<>();
    for (int i = 0; i < counts.length; i++) {
      loading.put(new Place(1, i + 1, "p"), counts[i]);
    }
    return new Loading(loading);
  }

  /**
   * The steepest places of a loop's axis lie half a radius from it, where the slope is 0.858650
   * B0/a (Maxwell's pair of opposed coils rests on it): 48/(25 √5) by hand.
   */
  @Test
  void theLargestPullIsWhereTheAxisIsSteepest() {
    TrayPull pull = TrayPull.of(iron(0.1), pieces(10), axis()).get(0);
    double moment = 10 * 2.0 * 2e-6 / MU_0;
    double steepest = 48 / (25 * Math.sqrt(5)) * CENTRE / RADIUS;
    assertThat(Math.abs(pull.largest()))
        .isCloseTo(moment * steepest, within(1e-9 * steepest * moment));
    assertThat(Math.abs(pull.largestAt() + 0.1)).isCloseTo(0.25, within(1e-9));
    assertThat(pull.mass()).isCloseTo(10 * 2e-6 * 7850, within(1e-12));
  }

  /**
   * The pull is the slope of the energy −m·B that loop and dipole share (loop's own field code).
   */
  @Test
  void atItsPlaceThePullIsTheSlopeOfTheEnergy() {
    TrayPull pull = TrayPull.of(iron(0.2), pieces(3), axis()).get(0);
    double moment = 3 * 2.0 * 2e-6 / MU_0;
    CurrentLoop loop = new CurrentLoop(Vec3.ZERO, Vec3.UNIT_Z, RADIUS, AMPERE);
    double step = 1e-4;
    double slope =
        (loop.at(new Vec3(0, 0, 0.2 + step)).z() - loop.at(new Vec3(0, 0, 0.2 - step)).z())
            / (2 * step);
    assertThat(pull.home()).isCloseTo(moment * slope, within(1e-6 * moment * Math.abs(slope)));
    assertThat(pull.home()).isNegative(); // back to the middle of the loop
  }

  /**
   * Two stacks of 4 and 1 pieces: outwards k·z·m each, turning about the middle Σ k z m (z − z̄).
   */
  @Test
  void sidewaysPullsAddUpAndTurn() {
    TrayPull pull = TrayPull.of(iron(0.1, 0.3), pieces(4, 1), axis()).get(0);
    double one = 2.0 * 2e-6 / MU_0;
    assertThat(pull.side()).isCloseTo(0.5 * one * (4 * 0.1 + 0.3), within(1e-9 * one));
    // Farthest out in +z the gradient is greatest: shift 0.7 takes the stacks to 0.8 and 1.0, and
    // −1.1 takes them to −1.0 and −0.8.
    double plus = 0.5 * one * Math.abs(4 * 0.8 * -0.1 + 1.0 * 0.1);
    double minus = 0.5 * one * Math.abs(4 * -1.0 * -0.1 + -0.8 * 0.1);
    assertThat(pull.turning()).isCloseTo(Math.max(plus, minus), within(1e-9 * one));
  }

  @Test
  void onlyTraysThatAreTouchedAreMoved() {
    IronSystem iron = iron(0.1).withInstalled(pieces(5));
    assertThat(TrayPulls.of(iron, pieces(5)).goingIn()).isEmpty();
    TrayPulls emptied = TrayPulls.of(iron, Loading.EMPTY);
    assertThat(emptied.comingOut()).hasSize(1);
    assertThat(emptied.goingIn()).isEmpty();
  }

  @Test
  void ironOutsideTheProfileIsRefused() {
    assertThatThrownBy(() -> TrayPull.of(iron(1.2), pieces(1), axis()))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("1200");
  }
}
