package org.fieldwright.core.reading;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.time.Instant;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.SplittableRandom;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.harmonic.Term;
import org.fieldwright.core.harmonic.TransverseField;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Virtual surveys of a known field with known faults. The field is problem P1's closed form
 * (harmonics 220·0.45^(n−1)·0.7^m·sin(…), degree 12) at 1.5 T.
 */
class VettingTest {
  private static final double B0 = 1.5;
  static final double RADIUS = 0.225;

  static Expansion field() {
    double[] c = new double[Term.count(12)];
    for (int i = 1; i < c.length; i++) {
      Term t = Term.at(i);
      int k = t.part() == Term.Part.COS ? 0 : 1;
      c[i] =
          220
              * Math.pow(0.45, t.n() - 1)
              * Math.pow(0.7, t.m())
              * Math.sin(12.9898 * t.n() + 78.233 * t.m() + 37.719 * k);
    }
    return new Expansion(RADIUS, c);
  }

  /** Gauss–Legendre polar angles, probe 1 nearest +z. */
  static double[] gauss(int count) {
    double[] polar = new double[count];
    for (int i = 0; i < count; i++) {
      double x = Math.cos(Math.PI * (i + 0.75) / (count + 0.5));
      for (int pass = 0; pass < 50; pass++) {
        double p0 = 1;
        double p1 = x;
        for (int n = 2; n <= count; n++) {
          double p2 = ((2 * n - 1) * x * p1 - (n - 1) * p0) / n;
          p0 = p1;
          p1 = p2;
        }
        x -= p1 / (count * (x * p1 - p0) / (x * x - 1));
      }
      polar[i] = Math.acos(x);
    }
    return polar;
  }

  static ProbeArray array(int probes, Double readingPpm) {
    return array(probes, readingPpm, null);
  }

  private static ProbeArray array(int probes, Double readingPpm, Double angle) {
    return array(
        probes, new ProbeArray.Uncertainty(readingPpm, null, angle, null), null, Nuisances.NONE);
  }

  static ProbeArray array(
      int probes, ProbeArray.Uncertainty stated, ProbeArray.Modulus modulus, Nuisances free) {
    List<Probe> list = new ArrayList<>();
    double[] polar = gauss(probes);
    for (int i = 0; i < probes; i++) {
      list.add(new Probe(i + 1, polar[i], RADIUS, 0));
    }
    return new ProbeArray(
        "test",
        42.57638543,
        "test",
        RADIUS,
        list,
        new ProbeArray.Range(60, 68),
        null,
        null,
        stated,
        modulus,
        free);
  }

  /** A survey under construction. */
  static final class Taken {
    final List<Reading> readings = new ArrayList<>();
    private final ProbeArray array;
    private final SplittableRandom random;
    private final double noise;
    private final Expansion field;
    double driftPpmPerHour;
    private double before; // ppm beside it, where the rate changed
    Vec3 offAxis = Vec3.ZERO; // outward, ahead; m
    private int row = 2;
    private double hours;

    Taken(ProbeArray array, double noise, long seed) {
      this(array, field(), noise, seed);
    }

    Taken(ProbeArray array, Expansion field, double noise, long seed) {
      this.array = array;
      this.field = field;
      this.noise = noise;
      random = new SplittableRandom(seed);
    }

    void angle(double statedDeg, double trueDeg) {
      for (Probe p : array.probes()) {
        double phi = Math.toRadians(trueDeg);
        Vec3 onAxis = Vec3.spherical(p.radius(), p.polar(), phi);
        double x = offAxis.x() * Math.cos(phi) - offAxis.y() * Math.sin(phi);
        double y = offAxis.x() * Math.sin(phi) + offAxis.y() * Math.cos(phi);
        Vec3 truePlace = onAxis.plus(new Vec3(x, y, 0));
        double ppm = field.at(truePlace) + before + driftPpmPerHour * hours + noise * gaussian();
        readings.add(
            new Reading(
                row++,
                p.id(),
                statedDeg,
                Vec3.spherical(p.radius(), p.polar(), Math.toRadians(statedDeg)),
                B0 * (1 + ppm * 1e-6),
                null,
                null,
                null,
                Instant.ofEpochSecond(1_000_000 + Math.round(hours * 3600)),
                null));
      }
      hours += 1 / 60.0;
    }

    /** From now on the field drifts at another rate. */
    void bend(double otherPpmPerHour) {
      before += (driftPpmPerHour - otherPpmPerHour) * hours;
      driftPpmPerHour = otherPpmPerHour;
    }

    Taken turn(int angles) {
      for (int a = 0; a < angles; a++) {
        angle(a * 360.0 / angles, a * 360.0 / angles);
      }
      return this;
    }

    void shift(int index, double ppm) {
      Reading r = readings.get(index);
      set(index, r.field() + B0 * ppm * 1e-6);
    }

    void set(int index, Double value) {
      Reading r = readings.get(index);
      readings.set(
          index,
          new Reading(
              r.row(),
              r.probe(),
              r.angleDeg(),
              r.position(),
              value,
              r.sd(),
              r.averages(),
              r.locked(),
              r.time(),
              r.turn()));
    }

    private double gaussian() {
      return random.nextGaussian();
    }

    FittedSurvey vet() {
      return vet(VettingOptions.DEFAULT);
    }

    FittedSurvey vet(VettingOptions options) {
      Survey survey =
          new Survey("t.csv", Survey.Kind.TURNING_ARRAY, readings, true, Map.of(), List.of());
      return Vetting.vet(survey, array, options);
    }
  }

  private static void assertSame(Expansion found, Expansion truth, double tolerance) {
    for (int i = 1; i < Term.count(12); i++) {
      assertThat(found.coefficient(i))
          .as(Term.at(i).toString())
          .isCloseTo(truth.coefficient(i), within(tolerance));
    }
  }

  /**
   * A tenth of a degree moves the probes by so little that no single reading stands out, but 24 of
   * them agree: common practice, no source; the size is what the field's slope and noise allow.
   */
  @Test
  void anAngleALittleOffIsNamed() {
    Taken taken = new Taken(array(24, 0.02), 0.02, 5);
    for (int a = 0; a < 32; a++) {
      double stated = a * 360.0 / 32;
      taken.angle(stated, a == 9 ? stated + 0.1 : stated);
    }
    VettedSurvey v = taken.vet().vetted();
    assertThat(v.suspectAngles()).hasSize(1);
    VettedSurvey.SuspectAngle angle = v.suspectAngles().get(0);
    assertThat(angle.angleDeg()).isCloseTo(9 * 360.0 / 32, within(1e-9));
    assertThat(angle.errorDeg()).isCloseTo(0.1, within(4 * angle.uncertaintyDeg()));
    assertThat(angle.uncertaintyDeg()).isLessThan(0.02);
    assertThat(v.setAside()).isEmpty();
  }

  /** 13 settings cannot carry more than order 6, wherever they lie. */
  @Test
  void unevenAnglesLimitTheDegree() {
    Taken taken = new Taken(array(24, 0.02), 0.02, 6);
    for (int a = 0; a < 13; a++) {
      double angle = a * 360.0 / 13 + 4 * Math.sin(3.0 * a);
      taken.angle(angle, angle);
    }
    assertThat(taken.vet().model().ppm().degree()).isLessThanOrEqualTo(6);
  }

  @Test
  void aNoiselessSurveyGivesTheFieldBack() {
    FittedSurvey fitted = new Taken(array(24, null), 0, 1).turn(32).vet();
    assertThat(fitted.vetted().used()).hasSize(24 * 32);
    assertThat(fitted.vetted().setAside()).isEmpty();
    assertThat(fitted.model().centreField()).isCloseTo(B0, within(1e-12));
    assertThat(fitted.model().ppm().degree()).isBetween(12, 16);
    assertSame(fitted.model().ppm(), field(), 1e-7);
  }

  @Test
  void twentyFourAnglesSeeOnePhaseOfOrderTwelve() {
    FittedSurvey fitted = new Taken(array(24, null), 0, 1).turn(24).vet();
    assertThat(fitted.model().ppm().degree()).isEqualTo(12);
    assertThat(fitted.model().unseen()).containsExactly(new Term(12, 12, Term.Part.SIN));
    assertThat(fitted.vetted().warnings()).anyMatch(w -> w.contains("one phase of order m = 12"));
  }

  @Test
  void driftIsRemovedAndStated() {
    Taken taken = new Taken(array(24, null), 0, 1);
    taken.driftPpmPerHour = 0.5;
    taken.turn(32).angle(360, 360);
    FittedSurvey fitted = taken.vet();
    assertThat(fitted.vetted().revisits()).hasSize(24);
    assertThat(fitted.vetted().drift().ppmPerHour()).isCloseTo(0.5, within(1e-6));
    assertSame(fitted.model().ppm(), field(), 1e-6);
  }

  /** Fast at first, slow later: three visits of the first angle tell, two could not. */
  @Test
  void aDriftThatBendsIsRemovedAndTold() {
    Taken taken = new Taken(array(24, null), 0.002, 3);
    taken.driftPpmPerHour = 0.5;
    for (int a = 0; a < 16; a++) {
      taken.angle(a * 11.25, a * 11.25);
    }
    taken.bend(0.1);
    taken.angle(0, 0);
    for (int a = 16; a < 32; a++) {
      taken.angle(a * 11.25, a * 11.25);
    }
    taken.angle(0, 0);
    FittedSurvey fitted = taken.vet();
    VettedSurvey.Drift drift = Objects.requireNonNull(fitted.vetted().drift());
    assertThat(drift.piecesPpmPerHour()).hasSize(2);
    assertThat(drift.piecesPpmPerHour().get(0)).isCloseTo(0.5, within(0.01));
    assertThat(drift.piecesPpmPerHour().get(1)).isCloseTo(0.1, within(0.01));
    assertThat(fitted.vetted().warnings()).anyMatch(w -> w.startsWith("The drift was not steady"));
    assertThat(fitted.vetted().setAside()).isEmpty();
    assertSame(fitted.model().ppm(), field(), 3e-3);
  }

  /** Probes follow |B|; its excess is that of the least transverse field (TransverseFieldTest). */
  @Test
  void whatTheModulusHasBeyondTheComponentIsCarriedOrTakenOff() {
    double[] farthest = new double[2];
    for (boolean takenOff : new boolean[] {false, true}) {
      ProbeArray array =
          array(
              24,
              ProbeArray.Uncertainty.UNSTATED,
              new ProbeArray.Modulus(Vec3.UNIT_Z, takenOff),
              Nuisances.NONE);
      Taken taken = new Taken(array, 0, 1).turn(32);
      taken.angle(360, 360);
      TransverseField transverse = new TransverseField(field(), Vec3.UNIT_Z);
      for (int i = 0; i < taken.readings.size(); i++) {
        taken.shift(i, transverse.excess(taken.readings.get(i).position()));
      }
      FittedSurvey fitted = taken.vet();
      double[] off = fitted.model().ppm().minus(field()).coefficients();
      for (int k = 1; k < off.length; k++) {
        farthest[takenOff ? 1 : 0] = Math.max(farthest[takenOff ? 1 : 0], Math.abs(off[k]));
      }
      assertThat(fitted.model().shares())
          .filteredOn(s -> s.source() == FieldModel.Source.MODULUS)
          .hasSize(takenOff ? 0 : 1);
      assertThat(fitted.vetted().warnings())
          .filteredOn(w -> w.contains("|B|"))
          .hasSize(takenOff ? 1 : 0);
    }
    assertThat(farthest[0]).isGreaterThan(3e-3);
    assertThat(farthest[1]).isLessThan(1e-2 * farthest[0]);
  }

  @Test
  void faultsOfEveryKindAreNamedAndDoNotSpoilTheField() {
    Taken taken = new Taken(array(24, 0.02), 0.02, 7);
    taken.driftPpmPerHour = 0.3;
    for (int a = 0; a < 24; a++) {
      taken.angle(a * 15, a == 6 ? a * 15 + 1.8 : a * 15);
    }
    taken.angle(0, 0);
    for (int i = 0; i < 24; i++) {
      taken.shift(i * 24 + 8, 0.41); // probe 9 as a whole
    }
    taken.shift(24 * 24 + 8, 0.41);
    taken.shift(3 * 24 + 4, 4.1);
    taken.shift(13 * 24 + 20, -0.5);
    taken.shift(17 * 24 + 11, 800);
    taken.set(20 * 24 + 2, null);
    taken.set(21 * 24 + 2, 1.2);
    FittedSurvey fitted = taken.vet();
    VettedSurvey v = fitted.vetted();
    assertThat(v.setAside().stream().map(s -> s.reading().row() - 2))
        .contains(3 * 24 + 4, 13 * 24 + 20, 17 * 24 + 11, 20 * 24 + 2, 21 * 24 + 2);
    assertThat(v.setAside()).hasSize(5);
    assertThat(v.setAside().stream().map(s -> s.why().id()))
        .containsExactly("outlier", "outlier", "outlier", "no_lock", "out_of_range");
    assertThat(v.used().size() + v.setAside().size() + v.revisits().size()).isEqualTo(25 * 24);
    assertThat(v.suspectProbes()).hasSize(1);
    assertThat(v.suspectProbes().get(0).probe()).isEqualTo(9);
    assertThat(v.suspectProbes().get(0).offsetPpm())
        .isCloseTo(0.41, within(4 * v.suspectProbes().get(0).uncertaintyPpm()));
    assertThat(v.suspectAngles()).hasSize(1);
    assertThat(v.suspectAngles().get(0).angleDeg()).isEqualTo(90);
    assertThat(v.suspectAngles().get(0).errorDeg()).isCloseTo(1.8, within(0.05));
    assertThat(v.drift().ppmPerHour()).isCloseTo(0.3, within(0.06));
    for (Term t : List.of(new Term(1, 0, Term.Part.COS), new Term(2, 2, Term.Part.SIN))) {
      assertThat(fitted.model().ppm().coefficient(t))
          .isCloseTo(field().coefficient(t), within(4 * fitted.model().standardUncertainty(t)));
    }
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10})
  void fivePercentOfBadReadingsAreFoundAndGoodOnesLeft(long seed) {
    SplittableRandom random = new SplittableRandom(seed);
    Taken taken = new Taken(array(24, null), 0.02, seed);
    taken.turn(24);
    Set<Integer> bad = new HashSet<>();
    while (bad.size() < 28) {
      bad.add(random.nextInt(576));
    }
    for (int i : bad) {
      taken.shift(i, 0.02 * 12 * (random.nextBoolean() ? 1 : -1));
    }
    Set<Integer> found = new HashSet<>();
    taken.vet().vetted().setAside().forEach(s -> found.add(s.reading().row() - 2));
    assertThat(found).as("seed " + seed).containsAll(bad);
    assertThat(found.size() - bad.size()).as("good readings lost, seed " + seed).isLessThan(2);
  }

  /**
   * Settings off by as little as stated leave larger residuals where the field is steep along the
   * turn; that makes no reading bad.
   */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5})
  void settingsALittleOffCostNoGoodReading(long seed) {
    SplittableRandom random = new SplittableRandom(seed);
    double off = 0.05; // degrees
    Taken taken = new Taken(array(24, 0.02, Math.toRadians(off)), 0.02, seed);
    for (int a = 0; a < 24; a++) {
      taken.angle(a * 15, a * 15 + off * random.nextGaussian());
    }
    taken.shift(100, 1);
    List<Integer> found =
        taken.vet().vetted().setAside().stream().map(s -> s.reading().row() - 2).toList();
    assertThat(found).as("seed %d", seed).containsExactly(100);
  }

  /** A bad reading that a person keeps spoils the model, but is not blamed on its neighbours. */
  @ParameterizedTest
  @ValueSource(longs = {5, 6, 7})
  void aBadReadingThatIsKeptCostsNoGoodOne(long seed) {
    Taken taken = new Taken(array(24, null), 0.02, seed);
    taken.turn(24);
    taken.shift(100, 4);
    FittedSurvey fitted = taken.vet(new VettingOptions(null, Set.of(), Set.of(102), null));
    assertThat(fitted.vetted().setAside()).as("seed %d", seed).isEmpty();
    assertThat(fitted.model().ppm().degree()).isEqualTo(12);
  }

  @Test
  void theUsersWordStands() {
    Taken taken = new Taken(array(24, null), 0.02, 3);
    taken.turn(24);
    taken.shift(100, 2);
    VettingOptions options = new VettingOptions(8, Set.of(50), Set.of(102), null);
    FittedSurvey fitted = taken.vet(options);
    assertThat(fitted.model().ppm().degree()).isEqualTo(8);
    assertThat(fitted.vetted().setAside())
        .anyMatch(s -> s.reading().row() == 50 && s.why() == VettedSurvey.Why.EXCLUDED);
    assertThat(fitted.vetted().setAside()).noneMatch(s -> s.reading().row() == 102);
  }

  @Test
  void tooFewReadingsForTheDegreeAreRefused() {
    Taken taken = new Taken(array(6, null), 0, 1);
    taken.turn(8);
    assertThatThrownBy(() -> taken.vet(new VettingOptions(12, Set.of(), Set.of(), null)))
        .isInstanceOf(BadInput.class)
        .hasMessageContaining("degree 12");
    Taken tiny = new Taken(array(1, null), 0, 1);
    tiny.turn(3);
    assertThatThrownBy(tiny::vet).isInstanceOf(BadInput.class).hasMessageContaining("degree 1");
  }
}
