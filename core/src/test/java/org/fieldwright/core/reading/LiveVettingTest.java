package org.fieldwright.core.reading;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.fieldwright.core.simulation.Fault;
import org.junit.jupiter.api.Test;

/**
 * Surveys of virtual magnets, one setting after the other; what is wrong with them is known. {@code
 * LiveVettingStudyTest} makes hundreds of them.
 */
class LiveVettingTest {
  private static final int ANGLES = 24;

  private static List<List<Reading>> settings(Survey survey) {
    Map<String, List<Reading>> settings = new LinkedHashMap<>();
    int count = 0;
    for (Reading r : survey.readings()) { // the revisit of 0° is a setting of its own
      settings
          .computeIfAbsent(r.angleDeg() + "/" + count++ / (ANGLES * 24), a -> new ArrayList<>())
          .add(r);
    }
    return List.copyOf(settings.values());
  }

  private static List<List<Reading>> take(long seed, Fault... faults) {
    return settings(
        TestSurveys.take(TestSurveys.magnet(seed), TestSurveys.array(24), ANGLES, seed, faults));
  }

  /** What is found after each setting. */
  private static List<LiveFindings> vet(List<List<Reading>> settings) {
    LiveVetting vetting = new LiveVetting(TestSurveys.array(24));
    return settings.stream().map(vetting::after).toList();
  }

  private static LiveFindings last(List<LiveFindings> found) {
    return found.get(found.size() - 1);
  }

  private static void nothingBut(List<LiveFindings> found, int angles, int readings, int probes) {
    for (LiveFindings f : found) {
      assertThat(f.angles()).hasSizeLessThanOrEqualTo(angles);
      assertThat(f.readings()).hasSizeLessThanOrEqualTo(readings);
      assertThat(f.probes()).hasSizeLessThanOrEqualTo(probes);
    }
  }

  @Test
  void nothingIsWrongWithASoundSurvey() {
    for (long seed = 1; seed <= 6; seed++) {
      List<LiveFindings> found = vet(take(seed));
      nothingBut(found, 0, 0, 0);
      LiveFindings.Rate drift = last(found).drift();
      assertThat(drift).isNotNull();
      assertThat(drift.ppmPerHour())
          .as("seed %d", seed)
          .isCloseTo(0.05, within(4 * drift.uncertaintyPpmPerHour()));
    }
  }

  @Test
  void aSettingElsewhereIsNamedWithItsPlaceAndNoNeighbourBlamed() {
    for (double at : new double[] {60, 90, 345}) {
      List<LiveFindings> found = vet(take(7, new Fault.WrongAngle(at, 2)));
      nothingBut(found, 1, 0, 0);
      assertThat(last(found).angles()).hasSize(1);
      VettedSurvey.SuspectAngle angle = last(found).angles().get(0);
      assertThat(angle.angleDeg()).isEqualTo(at);
      assertThat(angle.uncertaintyDeg()).isLessThan(0.2);
      assertThat(angle.errorDeg()).isCloseTo(2, within(4 * angle.uncertaintyDeg()));
    }
  }

  @Test
  void aBadReadingIsNamedByItself() {
    List<LiveFindings> found = vet(take(3, new Fault.Outlier(12, 120, -30 * TestSurveys.NOISE)));
    nothingBut(found, 0, 1, 0);
    assertThat(last(found).readings()).hasSize(1);
    LiveFindings.OffReading reading = last(found).readings().get(0);
    assertThat(reading.probe()).isEqualTo(12);
    assertThat(reading.angleDeg()).isEqualTo(120);
    assertThat(reading.ppm()).isCloseTo(-0.6, within(4 * reading.uncertaintyPpm()));
  }

  /** A line 8,000 ppm away and a wrong angle beside it: neither makes another look wrong. */
  @Test
  void grossFaultsHideNothing() {
    List<LiveFindings> found =
        vet(
            take(
                5,
                new Fault.Outlier(4, 75, 8000),
                new Fault.Outlier(5, 75, -30),
                new Fault.WrongAngle(90, -1.5)));
    nothingBut(found, 1, 2, 0);
    assertThat(last(found).readings())
        .extracting(LiveFindings.OffReading::probe)
        .containsExactly(4, 5);
    assertThat(last(found).angles())
        .extracting(VettedSurvey.SuspectAngle::angleDeg)
        .containsExactly(90.0);
  }

  @Test
  void aProbeThatIsOffAtEveryAngleIsOneFault() {
    List<LiveFindings> found = vet(take(4, new Fault.ProbeOffset(9, 0.6)));
    LiveFindings end = last(found);
    assertThat(end.angles()).isEmpty();
    assertThat(end.readings()).isEmpty();
    assertThat(end.probes()).extracting(VettedSurvey.SuspectProbe::probe).containsExactly(9);
    assertThat(end.probes().get(0).offsetPpm())
        .isCloseTo(0.6, within(4 * end.probes().get(0).uncertaintyPpm()));
  }

  /** Taken again, the angle is right, and nothing of it stands any more. */
  @Test
  void whatIsTakenAgainCountsAsIfItHadBeenRight() {
    List<List<Reading>> wrong = take(7, new Fault.WrongAngle(90, 2));
    List<List<Reading>> right = take(7);
    LiveVetting vetting = new LiveVetting(TestSurveys.array(24));
    wrong.subList(0, 12).forEach(vetting::after);
    List<List<Reading>> left = new ArrayList<>(wrong.subList(0, 12));
    left.remove(6);
    assertThat(vetting.anew(left).angles()).isEmpty();
    assertThat(vetting.after(right.get(6)).angles()).isEmpty();
    for (List<Reading> setting : wrong.subList(12, wrong.size())) {
      LiveFindings found = vetting.after(setting);
      assertThat(found.angles()).isEmpty();
      assertThat(found.readings()).isEmpty();
    }
  }

  @Test
  void aSettingWithoutAnyLockIsPassedOver() {
    LiveVetting vetting = new LiveVetting(TestSurveys.array(24));
    assertThat(vetting.anew(List.of()).drift()).isNull();
    Survey none = TestSurveys.take(TestSurveys.magnet(1), TestSurveys.array(24), ANGLES, 1);
    List<Reading> silent =
        none.readings().subList(0, 24).stream()
            .map(
                r ->
                    new Reading(
                        r.row(),
                        r.probe(),
                        r.angleDeg(),
                        r.position(),
                        null,
                        null,
                        null,
                        0,
                        r.time(),
                        r.turn()))
            .toList();
    assertThat(vetting.after(silent).readings()).isEmpty();
    assertThat(vetting.after(none.readings().subList(24, 48)).readings()).isEmpty();
  }
}
