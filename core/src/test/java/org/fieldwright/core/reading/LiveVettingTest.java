package org.fieldwright.core.reading;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import java.util.stream.IntStream;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.Term;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Virtual surveys with known faults, handed over one setting at a time. */
class LiveVettingTest {
  private static final int ANGLES = 24;
  private static final int PROBES = 24;
  private static final double NOISE = 0.02;

  private final ProbeArray array = VettingTest.array(PROBES, NOISE);
  private final LiveVetting live =
      new LiveVetting(array, IntStream.range(0, ANGLES).mapToObj(a -> a * 360.0 / ANGLES).toList());

  /** Hands over the latest setting. */
  private LiveFindings arrive(VettingTest.Taken taken) {
    int count = taken.readings.size();
    return live.add(List.copyOf(taken.readings.subList(count - PROBES, count)));
  }

  private static double stated(int angle) {
    return angle * 360.0 / ANGLES;
  }

  @ParameterizedTest
  @ValueSource(longs = {11, 12, 13, 14, 15})
  void aGoodSurveyRaisesNoAlarmAtAnySetting(long seed) {
    VettingTest.Taken taken = new VettingTest.Taken(array, NOISE, seed);
    taken.driftPpmPerHour = 0.4;
    for (int a = 0; a <= ANGLES; a++) {
      taken.angle(stated(a), stated(a));
      LiveFindings found = arrive(taken);
      assertThat(found.unusable()).isEmpty();
      assertThat(found.suspicious()).as("seed %d, setting %d", seed, a).isEmpty();
      assertThat(found.angles()).isEmpty();
      assertThat(found.probes()).isEmpty();
      if (a == ANGLES - 1) {
        assertThat(found.drift().pairs()).isZero();
        assertThat(found.drift().ppmPerHour())
            .isCloseTo(0.4, within(4 * found.drift().uncertaintyPpmPerHour()));
        assertThat(found.drift().uncertaintyPpmPerHour()).isLessThan(0.1);
        assertThat(found.scatterPpm()).isCloseTo(NOISE, within(0.2 * NOISE));
      }
      if (a == ANGLES) {
        assertThat(found.drift().pairs()).isEqualTo(PROBES);
        assertThat(found.drift().ppmPerHour()).isCloseTo(0.4, within(0.06));
      }
    }
  }

  @Test
  void aMissingLockIsSaidAtOnce() {
    VettingTest.Taken taken = new VettingTest.Taken(array, NOISE, 1);
    taken.angle(0, 0);
    taken.set(6, null);
    taken.set(8, 1.2);
    LiveFindings found = arrive(taken);
    assertThat(found.unusable().stream().map(u -> u.reading().probe())).containsExactly(7, 9);
    assertThat(found.unusable().stream().map(u -> u.why().id()))
        .containsExactly("no_lock", "out_of_range");
    assertThat(found.scatterPpm()).as("one setting judges nothing").isNull();
    assertThat(found.drift()).isNull();
  }

  /** A bad reading is named while the array still stands there, and is gone once read again. */
  @Test
  void aBadReadingIsNamedAndReplaced() {
    VettingTest.Taken taken = new VettingTest.Taken(array, NOISE, 2);
    for (int a = 0; a < ANGLES; a++) {
      taken.angle(stated(a), stated(a));
      if (a == 15) {
        taken.shift(15 * PROBES + 4, 0.5);
      }
      LiveFindings found = arrive(taken);
      if (a == 15) {
        assertThat(found.suspicious()).hasSize(1);
        LiveFindings.Suspicious bad = found.suspicious().get(0);
        assertThat(bad.reading().probe()).isEqualTo(5);
        assertThat(bad.ppm()).isCloseTo(0.5, within(4 * bad.uncertaintyPpm()));
        taken.angle(stated(a), stated(a));
        found = arrive(taken);
        assertThat(found.drift().pairs()).isEqualTo(PROBES - 1);
      }
      assertThat(found.suspicious()).as("setting %d", a).isEmpty();
    }
  }

  /** The array stands at 136.8° while the sheet says 135°; then it is set right. */
  @Test
  void aWrongAngleIsMeasuredAndReplaced() {
    VettingTest.Taken taken = new VettingTest.Taken(array, NOISE, 3);
    for (int a = 0; a < ANGLES; a++) {
      taken.angle(stated(a), a == 9 ? stated(a) + 1.8 : stated(a));
      LiveFindings found = arrive(taken);
      if (a == 9) {
        assertThat(found.angles()).hasSize(1);
        assertThat(found.angles().get(0).angleDeg()).isEqualTo(135);
        double uncertainty = found.angles().get(0).uncertaintyDeg();
        assertThat(found.angles().get(0).errorDeg()).isCloseTo(1.8, within(4 * uncertainty));
        assertThat(uncertainty).isLessThan(0.1);
        taken.angle(stated(a), stated(a));
        found = arrive(taken);
      }
      assertThat(found.angles()).isEmpty();
      assertThat(found.suspicious()).isEmpty();
    }
  }

  /** A wrong angle noticed late is still measured beside the complete turn. */
  @Test
  void aWrongAngleLeftAsItIsStaysNamed() {
    VettingTest.Taken taken = new VettingTest.Taken(array, NOISE, 4);
    LiveFindings found = null;
    for (int a = 0; a < ANGLES; a++) {
      taken.angle(stated(a), a == 12 ? stated(a) - 0.3 : stated(a));
      found = arrive(taken);
    }
    assertThat(found.angles()).hasSize(1);
    assertThat(found.angles().get(0).angleDeg()).isEqualTo(180);
    assertThat(found.angles().get(0).errorDeg())
        .isCloseTo(-0.3, within(4 * found.angles().get(0).uncertaintyDeg()));
    assertThat(found.suspicious()).isEmpty();
  }

  @Test
  void aProbeThatReadsOffIsOneFaultNotTwentyFour() {
    VettingTest.Taken taken = new VettingTest.Taken(array, NOISE, 5);
    LiveFindings found = null;
    for (int a = 0; a < ANGLES; a++) {
      taken.angle(stated(a), stated(a));
      taken.shift(a * PROBES + 8, 0.41);
      found = arrive(taken);
    }
    assertThat(found.probes()).hasSize(1);
    assertThat(found.probes().get(0).probe()).isEqualTo(9);
    assertThat(found.probes().get(0).offsetPpm())
        .isCloseTo(0.41, within(4 * found.probes().get(0).uncertaintyPpm()));
    assertThat(found.suspicious()).isEmpty();
  }

  /** Degrees 13 and 14 are more than 24 angles resolve, at ten times the noise here. */
  @Test
  void aFieldRicherThanThePlanIsNoFault() {
    SplittableRandom random = new SplittableRandom(7919);
    double[] c = new double[Term.count(14)];
    for (int k = 1; k < c.length; k++) {
      c[k] = 300 * Math.pow(0.5, Term.at(k).n() - 1) * random.nextGaussian();
    }
    Expansion field = new Expansion(0.225, c);
    for (int a = 0; a < ANGLES; a++) {
      List<Reading> setting = new ArrayList<>();
      for (Probe p : array.probes()) {
        Vec3 place = Vec3.spherical(p.radius(), p.polar(), Math.toRadians(stated(a)));
        double tesla = 1.5 * (1 + (field.at(place) + NOISE * random.nextGaussian()) * 1e-6);
        int row = a * PROBES + p.id();
        setting.add(
            new Reading(row, p.id(), stated(a), place, tesla, null, null, null, null, null));
      }
      LiveFindings found = live.add(setting);
      assertThat(found.suspicious()).as("setting %d", a).isEmpty();
      assertThat(found.angles()).isEmpty();
      assertThat(found.probes()).isEmpty();
    }
  }

  /**
   * A revisit that does not agree with the first visit is bad itself and does not bend the drift.
   */
  @Test
  void aBadRevisitIsNamed() {
    VettingTest.Taken taken = new VettingTest.Taken(array, NOISE, 6);
    LiveFindings found = null;
    for (int a = 0; a <= ANGLES; a++) {
      taken.angle(stated(a), stated(a));
      if (a == ANGLES) {
        taken.shift(ANGLES * PROBES + 2, 3);
      }
      found = arrive(taken);
    }
    assertThat(found.suspicious()).hasSize(1);
    assertThat(found.suspicious().get(0).reading().row()).isEqualTo(ANGLES * PROBES + 2 + 2);
    assertThat(found.drift().ppmPerHour()).isCloseTo(0, within(0.06));
  }
}
