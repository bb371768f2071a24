package org.fieldwright.core.correction;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.HashMap;
import java.util.Map;
import java.util.Set;
import org.fieldwright.core.correction.Loading.Place;
import org.fieldwright.core.geometry.Vec3;
import org.junit.jupiter.api.Test;

/** Against direct sums over the dipoles in the trays that were out. */
class IronSettlingTest {
  private static final BodyMagnet MAGNET = BodyMagnet.P1;

  @Test
  void onlyTheTraysThatWereOutSettle() {
    Map<Place, Integer> counts = new HashMap<>();
    for (int tray = 1; tray <= 6; tray++) {
      counts.put(new Place(tray, 2 * tray, "4 g"), 10 * tray);
    }
    Set<Integer> out = Set.of(2, 3, 5);
    IronSettling settling =
        IronSettling.of(
            MAGNET.iron(),
            Vec3.UNIT_Z,
            MAGNET.centreField(),
            new Loading(counts),
            out,
            MAGNET.limit(10).requireVolume());
    double least = Double.POSITIVE_INFINITY;
    double most = Double.NEGATIVE_INFINITY;
    for (int polar = 0; polar <= 180; polar += 2) {
      for (int azimuth = 0; azimuth < 360; azimuth += 2) {
        Vec3 p = Vec3.spherical(MAGNET.radius(), Math.toRadians(polar), Math.toRadians(azimuth));
        double sum = 0;
        for (int tray : out) {
          sum += 10 * tray * MAGNET.ppmPerPiece(BodyMagnet.place(tray, 2 * tray), p);
        }
        least = Math.min(least, sum);
        most = Math.max(most, sum);
      }
    }
    double direct = 1e-4 * (most - least); // 0.01 % a kelvin
    assertThat(settling.ppmPerKelvin()).isCloseTo(direct, within(0.005 * direct));
  }

  /** 0.2 ppm to come: e^(−t/τ) is a tenth after 2.3026 time constants. */
  @Test
  void waitsUntilASurveyWouldNotSeeIt() {
    IronSettling settling = new IronSettling(0.04);
    assertThat(settling.waiting(-5, 60)).isCloseTo(60 * 2.302585, within(1e-4));
    assertThat(settling.waiting(0.5, 60)).isZero();
  }
}
