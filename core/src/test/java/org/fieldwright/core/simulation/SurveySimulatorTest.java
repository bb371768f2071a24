package org.fieldwright.core.simulation;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import org.fieldwright.core.geometry.GaussLegendre;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.magnetostatics.CurrentLoop;
import org.fieldwright.core.magnetostatics.PointDipole;
import org.fieldwright.core.reading.Nuisances;
import org.fieldwright.core.reading.Probe;
import org.fieldwright.core.reading.ProbeArray;
import org.fieldwright.core.reading.Reading;
import org.fieldwright.core.reading.Survey;
import org.junit.jupiter.api.Test;

class SurveySimulatorTest {
  private static final int PROBES = 8;
  private static final double GAMMA = 42.5;
  private static final Instant START = Instant.parse("2026-03-10T07:00:00Z");

  private static final VirtualMagnet MAGNET =
      VirtualMagnet.energised(
          Vec3.UNIT_Z,
          List.of(CurrentLoop.coaxial(0.7, 0.35, 1), CurrentLoop.coaxial(0.7, -0.35, 1)),
          List.of(new PointDipole(new Vec3(0.2, 0.9, -0.3), new Vec3(0, 1e-5, 2e-4))),
          0.55);

  private static ProbeArray array() {
    GaussLegendre planes = GaussLegendre.of(PROBES);
    List<Probe> probes = new ArrayList<>();
    for (int i = 0; i < PROBES; i++) {
      probes.add(new Probe(i + 1, Math.acos(planes.node(i)), 0.2, i == 4 ? 0.3 : 0));
    }
    return new ProbeArray(
        "array",
        GAMMA,
        "made up",
        0.2,
        probes,
        null,
        null,
        null,
        ProbeArray.Uncertainty.UNSTATED,
        null,
        Nuisances.NONE);
  }

  private static SurveyConditions calm(List<Fault> faults) {
    return new SurveyConditions(
        START, SurveyConditions.equalAngles(6), List.of(0.0), 2, 20, 1, 0, 0, 0, 0, faults);
  }

  private static Survey take(SurveyConditions conditions, long seed) {
    ProbeArray array = array();
    return SurveySimulator.take(
        MAGNET,
        array,
        ArrayState.draw(array, 0, 0, seed),
        conditions,
        "a.csv",
        Map.of("magnet", "made up"),
        seed);
  }

  private static double field(Survey survey, int probe, double angle, boolean revisit) {
    Reading found = null;
    for (Reading r : survey.readings()) {
      if (Objects.equals(r.probe(), probe) && Objects.equals(r.angleDeg(), angle)) {
        found = found == null || revisit ? r : found;
      }
    }
    return Objects.requireNonNull(Objects.requireNonNull(found).field());
  }

  /** A probe of any orientation reads |B|, its stated offset included. */
  @Test
  void calmSurveyReadsTheMagnitudeWhereItStands() {
    Survey survey = take(calm(List.of()), 1);
    assertThat(survey.readings()).hasSize(PROBES * 7);
    for (Reading r : survey.readings()) {
      double offset = Objects.equals(r.probe(), 5) ? 0.3e-6 : 0;
      assertThat(Objects.requireNonNull(r.field()))
          .isCloseTo(MAGNET.magnitude(r.position()) * (1 + offset), within(2e-16));
      assertThat(r.field()).isNotEqualTo(MAGNET.at(r.position()).z());
    }
    assertThat(survey.readings().get(0).row()).isEqualTo(3);
    assertThat(survey.readings().get(PROBES).time()).isEqualTo(START.plusSeconds(2 * PROBES + 20));
  }

  @Test
  void faultsAreWhereTheyWerePut() {
    Survey calm = take(calm(List.of()), 1);
    Survey survey =
        take(
            calm(
                List.of(
                    new Fault.NoLock(1, 0),
                    new Fault.Outlier(2, 60, 4),
                    new Fault.WrongFrequency(3, 120, 24.9),
                    new Fault.ProbeOffset(4, 0.5),
                    new Fault.WrongAngle(180, 2))),
            1);
    Reading unlocked = survey.readings().get(0);
    assertThat(unlocked.field()).isNull();
    assertThat(unlocked.locked()).isEqualTo(0);
    assertThat(ppm(survey, calm, 2, 60)).isCloseTo(4, within(1e-8));
    assertThat(field(survey, 3, 120, false) * GAMMA).isCloseTo(24.9, within(1e-14));
    assertThat(ppm(survey, calm, 4, 240)).isCloseTo(0.5, within(1e-8));
    Vec3 turned = Vec3.spherical(0.2, array().probes().get(5).polar(), Math.toRadians(182));
    assertThat(field(survey, 6, 180, false)).isCloseTo(MAGNET.magnitude(turned), within(2e-16));
    // Nothing else has changed, the revisit of the unlocked place included.
    assertThat(field(survey, 1, 0, true)).isEqualTo(field(calm, 1, 0, true));
    assertThat(field(survey, 7, 300, false)).isEqualTo(field(calm, 7, 300, false));
  }

  private static double ppm(Survey a, Survey b, int probe, double angle) {
    return (field(a, probe, angle, false) / field(b, probe, angle, false) - 1) * 1e6;
  }

  /**
   * 7 angles of 8 probes, 2 s a probe and 20 s between angles: 0.6 ppm/h over 216 s to the revisit.
   */
  @Test
  void driftShowsBetweenVisitAndRevisit() {
    SurveyConditions drifting =
        new SurveyConditions(
            START,
            SurveyConditions.equalAngles(6),
            List.of(0.0),
            2,
            20,
            1,
            0,
            0,
            0.6,
            0,
            List.of());
    Survey survey = take(drifting, 1);
    double risen = field(survey, 3, 0, true) / field(survey, 3, 0, false) - 1;
    assertThat(risen * 1e6).isCloseTo(0.6 * 216 / 3600, within(1e-8));
  }

  /**
   * Means of 16 repeats of 0.4 ppm scatter by 0.1 ppm, and the stated sd is that of one repeat. 336
   * readings know a standard deviation to 4 %; four of those are allowed.
   */
  @Test
  void noiseIsThatOfOneRepeat() {
    SurveyConditions noisy =
        new SurveyConditions(
            START, SurveyConditions.equalAngles(42), List.of(), 2, 20, 16, 0.4, 0, 0, 0, List.of());
    Survey survey = take(noisy, 20260316);
    double squares = 0;
    double stated = 0;
    for (Reading r : survey.readings()) {
      double offset = Objects.equals(r.probe(), 5) ? 0.3e-6 : 0;
      double truth = MAGNET.magnitude(r.position()) * (1 + offset);
      double ppm = (Objects.requireNonNull(r.field()) / truth - 1) * 1e6;
      squares += ppm * ppm;
      stated += Math.pow(Objects.requireNonNull(r.sd()) / truth * 1e6, 2);
    }
    int count = survey.readings().size();
    assertThat(count).isEqualTo(336);
    assertThat(Math.sqrt(squares / count)).isCloseTo(0.1, within(0.016));
    assertThat(Math.sqrt(stated / count)).isCloseTo(0.4, within(0.016));
  }

  /** A single repeat has all of the noise and no standard deviation of its own. */
  @Test
  void singleRepeatIsNoisy() {
    SurveyConditions single =
        new SurveyConditions(START, List.of(0.0), List.of(), 2, 20, 1, 0.4, 0, 0, 0, List.of());
    for (Reading r : take(single, 20260318).readings()) {
      double truth = MAGNET.magnitude(r.position());
      assertThat(Math.abs(Objects.requireNonNull(r.field()) / truth - 1)).isGreaterThan(1e-10);
      assertThat(r.sd()).isNull();
    }
  }

  @Test
  void arrayKeepsItsImperfectionsAndSeedsDiffer() {
    ProbeArray array = array();
    ArrayState state = ArrayState.draw(array, 2e-4, 0.02, 5);
    assertThat(ArrayState.draw(array, 2e-4, 0.02, 5)).isEqualTo(state);
    assertThat(ArrayState.draw(array, 2e-4, 0.02, 6)).isNotEqualTo(state);
    Vec3 off = state.probes().get(2).displacement();
    assertThat(off.norm()).isBetween(1e-5, 1e-3);
    Vec3 turned = state.probes().get(2).at(Math.toRadians(90));
    Vec3 drawn = Vec3.spherical(0.2, array.probes().get(2).polar(), Math.toRadians(90));
    assertThat(turned.minus(drawn).minus(new Vec3(-off.y(), off.x(), off.z())).norm())
        .isLessThan(1e-15);
  }
}
