package org.fieldwright.core.reading;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.function.UnaryOperator;
import org.fieldwright.core.simulation.Fault;
import org.junit.jupiter.api.Test;

/** Virtual surveys with probes that misbehave on purpose; the simulation is the referee. */
class ProbeHabitsTest {
  private static final ProbeArray ARRAY = TestSurveys.array(8);

  private static Survey survey(long seed, Fault... faults) {
    return TestSurveys.take(TestSurveys.magnet(seed), ARRAY, 14, seed, faults);
  }

  private static Reading with(Reading r, Double field, Double sd) {
    return new Reading(
        r.row(),
        r.probe(),
        r.angleDeg(),
        r.position(),
        field,
        sd,
        r.averages(),
        r.locked(),
        r.time(),
        r.turn());
  }

  private static List<Finding> findings(Survey survey) {
    return TestSurveys.vet(survey, ARRAY).vetted().findings();
  }

  private static Survey changed(Survey survey, UnaryOperator<Reading> change) {
    return TestSurveys.each(survey, change);
  }

  @Test
  void aDeadProbeIsNamed() {
    List<Fault> faults = new ArrayList<>();
    for (int a = 0; a < 14; a++) {
      if (a != 5) {
        faults.add(new Fault.NoLock(3, 360.0 * a / 14));
      }
    }
    List<Finding> found = findings(survey(1, faults.toArray(new Fault[0])));
    assertThat(found).extracting(Finding::what).containsExactly(Finding.What.DEAD_PROBE);
    assertThat(found.get(0).words()).startsWith("Probe 3 locked at 2 of its 15 readings");
  }

  @Test
  void aStickingProbeIsNamedWithItsRows() {
    Survey sound = survey(2);
    List<Reading> ofProbe =
        sound.readings().stream().filter(r -> Objects.equals(r.probe(), 6)).toList();
    Double kept = ofProbe.get(4).field();
    Survey stuck =
        changed(
            sound,
            r -> {
              int k = ofProbe.indexOf(r);
              return k >= 4 && k < 9 ? with(r, kept, r.sd()) : r;
            });
    List<Finding> found = findings(stuck);
    assertThat(found)
        .extracting(Finding::what)
        .containsExactly(Finding.What.STICKING_PROBE, Finding.What.SCATTER_ABOVE_STATED);
    assertThat(found.get(0).words())
        .contains("Probe 6", "5 times in a row")
        .contains("rows %d to %d".formatted(ofProbe.get(4).row(), ofProbe.get(8).row()));
  }

  @Test
  void repeatsThatDisagreeAreNamed() {
    Survey wide =
        changed(survey(3), r -> r.row() == 40 ? with(r, r.field(), 9 * median(survey(3))) : r);
    List<Finding> found = findings(wide);
    assertThat(found).extracting(Finding::what).containsExactly(Finding.What.WIDE_REPEATS);
    assertThat(found.get(0).estimate()).isCloseTo(9, within(0.2));
    assertThat(found.get(0).words()).contains("row 40");
  }

  private static double median(Survey survey) {
    return DriftFit.median(
        survey.readings().stream().mapToDouble(r -> Objects.requireNonNull(r.sd())).toArray());
  }

  /** The last turn (the revisit) is spoilt by ±0.2 ppm, ten times what is stated. */
  @Test
  void revisitsThatDisagreeAreNamed() {
    Survey sound = survey(4);
    int first = sound.readings().size() - 8;
    Survey moved =
        changed(
            sound,
            r -> {
              int k = sound.readings().indexOf(r);
              double sign = k % 2 == 0 ? 1 : -1;
              double off = k < first ? 0 : sign * 0.2e-6;
              return with(r, Objects.requireNonNull(r.field()) * (1 + off), r.sd());
            });
    List<Finding> found = findings(moved);
    assertThat(found).extracting(Finding::what).containsExactly(Finding.What.REVISITS_APART);
    // ±0.2 on the difference of two: 0.2·√(8/7)/√2 = 0.151 ppm a reading, noise aside, over 0.02
    assertThat(found.get(0).estimate()).isCloseTo(7.6, within(1.5));
  }

  /** A reader that shows whole hertz and an axial field: equal values are no wonder. */
  @Test
  void equalValuesOfACoarseReaderMeanNothing() {
    Survey coarse =
        changed(
            survey(5),
            r -> with(r, Math.rint(Objects.requireNonNull(r.field()) * 1e4) / 1e4, r.sd()));
    assertThat(ProbeHabits.findings(coarse, ARRAY, null)).isEmpty();
  }

  @Test
  void nothingIsNamedWhereNothingIsWrong() {
    for (long seed = 1; seed <= 100; seed++) {
      Survey survey = survey(seed % 7, new Fault.NoLock(2, 0), new Fault.Outlier(5, 180 / 7.0, 50));
      DriftFit drift =
          DriftFit.of(Intake.of(survey, ARRAY, java.util.Set.of()).revisited(), TestSurveys.NOISE);
      assertThat(ProbeHabits.findings(survey, ARRAY, drift)).as("seed %d", seed).isEmpty();
    }
  }
}
