package org.fieldwright.core.history;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import org.fieldwright.core.correction.LoadedChange;
import org.fieldwright.core.harmonic.Covariance;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.Term;
import org.fieldwright.core.stability.Estimate;
import org.fieldwright.core.uncertainty.Tails;
import org.hipparchus.distribution.discrete.BinomialDistribution;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/** Lives drawn from what their surveys state, with and without changes. */
class MagnetLifeTest {
  private static final int Z2 = Term.index(2, 0, Term.Part.COS);

  private static double[] of(int term, double ppm) {
    double[] change = new double[Term.count(InventedLife.DEGREE)];
    change[term] = ppm;
    return change;
  }

  /** No more alarms than the level allows, beyond what chance gives in 1 of 1000 such tests. */
  private static void assertRareAlarms(int magnets, int visits, double scatter, double level) {
    int alarms = 0;
    int asked = 0;
    for (int m = 0; m < magnets; m++) {
      MagnetLife life = InventedLife.judge(new InventedLife(m).quiet(visits, -1.5, scatter));
      asked += life.judgements().size();
      alarms += (int) life.judgements().stream().filter(Judgement::changed).count();
    }
    int most = new BinomialDistribution(asked, level).inverseCumulativeProbability(0.999);
    assertThat(alarms)
        .as("alarms in %d, seeds 0 to %d, scatter %s", asked, magnets - 1, scatter)
        .isLessThanOrEqualTo(most);
  }

  @Test
  void magnetsWithoutAChangeRaiseNoMoreAlarmsThanStated() {
    assertRareAlarms(150, 3, 0, MagnetLife.LEVEL);
    assertRareAlarms(40, 6, 0, MagnetLife.LEVEL);
  }

  @Test
  @Tag("slow")
  void aThousandMagnetsRaiseNoMoreAlarmsThanStated() {
    assertRareAlarms(1000, 3, 0, MagnetLife.LEVEL);
    assertRareAlarms(1000, 8, 0, MagnetLife.LEVEL);
    // visits that scatter more than they state: the level is kept but for what few visits tell
    assertRareAlarms(1000, 8, 0.02, 2 * MagnetLife.LEVEL);
    assertRareAlarms(1000, 8, 0.1, 2 * MagnetLife.LEVEL);
  }

  @Test
  void aChangeIsSeenAsOftenAsTheNoncentralChiSquareSays() {
    // one change along one term: misfit of two surveys is χ²(24, λ), λ = Δ² (S⁻¹)ₖₖ, S = 2C.
    int seen = 0;
    int magnets = 200;
    for (int m = 0; m < magnets; m++) {
      InventedLife life = new InventedLife(m);
      double information = life.information(Z2) / 2;
      double size = Math.sqrt(40 / information); // λ = 40
      List<Snapshot> two = List.of(life.survey(0, 0, null, 0), life.survey(1, 0, of(Z2, size), 0));
      ShapeChange shape =
          Objects.requireNonNull(InventedLife.judge(two).judgements().get(0).shape());
      seen += shape.chance() <= MagnetLife.LEVEL ? 1 : 0;
    }
    double power = noncentralTail(24, 40, 42.9798); // χ²₀.₉₉(24), NIST e-Handbook 1.3.6.7.4
    double sd = Math.sqrt(magnets * power * (1 - power));
    assertThat((double) seen).as("power %.3f", power).isCloseTo(magnets * power, within(3.3 * sd));
  }

  /**
   * P(χ²(ν, λ) > x) as the Poisson mixture of central ones (Johnson, Kotz, Balakrishnan, ch. 29).
   */
  private static double noncentralTail(int degrees, double lambda, double x) {
    double weight = Math.exp(-lambda / 2);
    double sum = 0;
    for (int j = 0; j < 300; j++) {
      sum += weight * Tails.chiSquare(x, degrees + 2 * j);
      weight *= lambda / 2 / (j + 1);
    }
    return sum;
  }

  @Test
  void theTermThatChangedIsNamedAndTheLifeGoesOnFromThere() {
    InventedLife life = new InventedLife(7);
    List<Snapshot> surveys = new ArrayList<>();
    for (int k = 0; k < 6; k++) {
      surveys.add(life.survey(k, -1.5 * k, k < 4 ? null : of(Z2, 3), 0));
    }
    MagnetLife judged = InventedLife.judge(surveys);
    assertThat(judged.judgements().stream().map(Judgement::shapeChanged))
        .containsExactly(false, false, false, true, false);
    ShapeChange change = Objects.requireNonNull(judged.judgements().get(3).shape());
    assertThat(change.outstanding().get(0).term().tradeName()).isEqualTo("Z2");
    assertThat(change.outstanding().get(0).differencePpm()).isCloseTo(3, within(0.1));
    assertThat(judged.decays()).hasSize(1);
  }

  @Test
  void theDecayIsFoundAsOftenWithinItsUncertaintyAsItSays() {
    int inside = 0;
    int magnets = 300;
    for (int m = 0; m < magnets; m++) {
      List<Snapshot> surveys = new ArrayList<>();
      InventedLife life = new InventedLife(m);
      for (int k = 0; k < 3; k++) { // three: from four on the scatter is estimated too
        surveys.add(life.survey(k, -1.5 * k, null, 0));
      }
      MagnetLife judged = InventedLife.judge(surveys);
      if (judged.decays().size() == 1) {
        Estimate rate = Objects.requireNonNull(judged.decays().get(0).ppmPerYear());
        inside += Math.abs(rate.value() + 1.5) < 1.96 * rate.uncertainty() ? 1 : 0;
      }
    }
    // 95 % of 300 within 3.3 standard deviations of a binomial
    assertThat(inside).isCloseTo(285, within(13));
  }

  @Test
  void aQuenchSetsTheFieldAnewAndAJumpBreaksTheLine() {
    InventedLife life = new InventedLife(3);
    List<Snapshot> surveys = new ArrayList<>();
    for (int k = 0; k < 8; k++) {
      surveys.add(life.survey(k, -1.5 * k + (k == 7 ? 4 : 0), null, 0));
    }
    surveys.add(life.survey(8, 300, null, 0));
    Instant quench = InventedLife.START.plusSeconds(Math.round(7.5 * InventedLife.YEAR));
    MagnetLife judged =
        MagnetLife.of(
            surveys,
            List.of(),
            List.of(new MagnetEvent(quench, MagnetEvent.Kind.QUENCH, "")),
            InventedLife.LIMITS,
            0,
            0);
    List<Judgement> judgements = judged.judgements();
    assertThat(judgements.get(0).fieldBasis()).isEqualTo(Judgement.FieldBasis.NO_RATE_YET);
    assertThat(judgements.get(5).fieldBasis()).isEqualTo(Judgement.FieldBasis.JUDGED);
    assertThat(judgements.get(7).fieldBasis()).isEqualTo(Judgement.FieldBasis.SET_ANEW);
    assertThat(judgements.get(7).between()).hasSize(1);
    ScalarChange jump = Objects.requireNonNull(judgements.get(6).field());
    assertThat(jump.changed()).isTrue();
    assertThat(jump.difference()).isCloseTo(4, within(0.3));
    assertThat(judged.decays().stream().map(MagnetLife.Decay::surveys)).containsExactly(7, 1, 1);
  }

  @Test
  void whatWasLoadedIsTakenOff() {
    int size = Term.count(InventedLife.DEGREE);
    double[] ppm = of(Z2, 40);
    ppm[0] = 25;
    double[] covariance = new double[size * size];
    covariance[Z2 * size + Z2] = 0.25; // 0.5 ppm
    covariance[0] = 0.25;
    LoadedChange loaded =
        new LoadedChange(
            new Expansion(InventedLife.RADIUS, ppm), new Covariance(size, covariance), true);
    InventedLife life = new InventedLife(5);
    List<Snapshot> surveys = new ArrayList<>();
    for (int k = 0; k < 3; k++) {
      surveys.add(life.survey(k, -1.5 * k, null, 0));
    }
    surveys.add(life.survey(3, -4.5 + 25.4, of(Z2, 40.6), 0).withLoadedSince(loaded));
    surveys.add(life.survey(4, -6 + 25.4, of(Z2, 43.6), 0)); // 3 ppm that no round explains
    List<Judgement> judged = InventedLife.judge(surveys).judgements();
    assertThat(judged.stream().map(Judgement::changed)).containsExactly(false, false, false, true);
    assertThat(judged.get(2).fieldShiftPpm().value()).isCloseTo(-1.1, within(0.1));
    assertThat(Objects.requireNonNull(judged.get(3).field()).changed()).isFalse();
  }

  @Test
  void theScatterOfVisitsIsFound() {
    MagnetLife.Repeatability found =
        InventedLife.judge(new InventedLife(11).quiet(40, -1.5, 0.1)).repeatability();
    assertThat(found.known()).isTrue();
    // a median of 39 differences of 3 to 9 terms, and of 38 of the field: some 10 and 25 %
    for (int n = 1; n <= InventedLife.DEGREE; n++) {
      assertThat(found.harmonicPpm()[n]).isCloseTo(0.1, within(0.035));
    }
    assertThat(found.fieldPpm()).isCloseTo(0.1, within(0.05));
  }

  @Test
  void ofSurveysOfOneVisitTheLastStandsForIt() {
    InventedLife life = new InventedLife(9);
    Snapshot first = life.survey(0, 0, null, 0);
    Snapshot again = life.survey(0.001, 0, null, 0);
    Snapshot repeat =
        new Snapshot(again.file(), first.visit(), again.time(), again.model(), List.of(), null);
    List<Judgement> judged =
        InventedLife.judge(List.of(first, repeat, life.survey(1, 0, null, 0))).judgements();
    assertThat(judged).hasSize(1);
    assertThat(judged.get(0).since()).isEqualTo(repeat);
  }

  @Test
  void driftsOfLogsAreHeldAgainstTheirMean() {
    List<DriftReading> drifts = new ArrayList<>();
    double[] ppmPerHour = {0.010, 0.012, 0.011, 0.050, 0.051};
    for (int k = 0; k < ppmPerHour.length; k++) {
      Instant time = InventedLife.START.plusSeconds(Math.round(k * InventedLife.YEAR));
      drifts.add(new DriftReading("", "", time, new Estimate(ppmPerHour[k], 0.002)));
    }
    List<Snapshot> one = List.of(new InventedLife(1).survey(0, 0, null, 0));
    List<MagnetLife.DriftJudgement> judged =
        MagnetLife.of(one, drifts, List.of(), List.of(), 0, 0).drifts();
    assertThat(
            judged.stream()
                .map(MagnetLife.DriftJudgement::change)
                .map(c -> c != null && c.changed()))
        .containsExactly(false, false, false, true, false);
    ScalarChange risen = Objects.requireNonNull(judged.get(3).change());
    // by hand: mean of three equal weights 0.011, u² = 0.002² (1 + 1/3)
    assertThat(risen.expected()).isCloseTo(0.011, within(1e-12));
    assertThat(risen.uncertainty()).isCloseTo(0.002 * Math.sqrt(4 / 3.0), within(1e-12));
  }
}
