package org.fieldwright.core.harmonic;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.SplittableRandom;
import java.util.stream.IntStream;
import org.fieldwright.core.geometry.GaussLegendre;
import org.fieldwright.core.geometry.Vec3;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class HarmonicDesignTest {
  private static final double R = 0.225;

  static AngularSupport support(int angles, double startDeg) {
    return AngularSupport.of(
        IntStream.range(0, angles).mapToDouble(a -> startDeg + 360.0 * a / angles).toArray());
  }

  static Sampling turning(
      int probes, int angles, double startDeg, double spreadOfRadius, long seed) {
    SplittableRandom random = new SplittableRandom(seed);
    GaussLegendre nodes = GaussLegendre.of(probes);
    double[] radius = new double[probes];
    double[] weight = new double[probes];
    for (int p = 0; p < probes; p++) {
      radius[p] = R * (1 + spreadOfRadius * random.nextDouble(-1, 1));
      weight[p] = 1 + (spreadOfRadius > 0 ? random.nextDouble() : 0);
    }
    int n = probes * angles;
    Vec3[] points = new Vec3[n];
    double[] w = new double[n];
    int[] probe = new int[n];
    int[] angle = new int[n];
    for (int i = 0; i < n; i++) {
      probe[i] = i % probes;
      angle[i] = i / probes;
      double phi = Math.toRadians(startDeg + 360.0 * angle[i] / angles);
      points[i] = Vec3.spherical(radius[probe[i]], Math.acos(nodes.node(probe[i])), phi);
      w[i] = weight[probe[i]];
    }
    return new Sampling(points, w, probe, angle);
  }

  @ParameterizedTest
  @CsvSource({
    "12,24,10,0,0",
    "24,24,12,0,0.02",
    "24,24,12,7.5,0.02",
    "24,32,16,3.1,0.05",
    "9,8,8,0,0.01"
  })
  void decouplingTheOrdersChangesNothing(
      int probes, int angles, int degree, double start, double spread) {
    Sampling s = turning(probes, angles, start, spread, 11);
    AngularSupport support = support(angles, start);
    HarmonicDesign fast = HarmonicDesign.of(s, degree, R, support);
    HarmonicDesign slow = HarmonicDesign.general(s, degree, R, support);
    assertThat(TurningGrid.find(s, support)).isNotNull();
    assertThat(fast.terms()).isEqualTo(slow.terms());
    assertThat(fast.unseen()).isEqualTo(slow.unseen());
    SplittableRandom random = new SplittableRandom(5);
    double[] y = random.doubles(s.size(), -1, 1).toArray();
    WorkingFit a = new WorkingFit(fast, degree, y);
    WorkingFit b = new WorkingFit(slow, degree, y);
    double[] ca = a.solve().expansion().coefficients();
    double[] cb = b.solve().expansion().coefficients();
    double[] ua = a.solve().unitCovariance();
    double[] ub = b.solve().unitCovariance();
    for (int i = 0; i < ca.length; i++) {
      assertThat(ca[i]).isCloseTo(cb[i], within(1e-12));
    }
    for (int i = 0; i < ua.length; i++) {
      assertThat(ua[i]).isCloseTo(ub[i], within(1e-12));
    }
    for (int i = 0; i < s.size(); i++) {
      assertThat(a.residual(i)).isCloseTo(b.residual(i), within(1e-12));
      assertThat(a.redundancy(i)).isCloseTo(b.redundancy(i), within(1e-12));
    }
  }

  /** Setting rows aside by columns is the same as never having read them. */
  @Test
  void aRowSetAsideIsARowLeftOut() {
    Sampling s = turning(12, 24, 0, 0, 3);
    double[] y = new SplittableRandom(6).doubles(s.size(), -1, 1).toArray();
    WorkingFit aside = new WorkingFit(HarmonicDesign.of(s, 8, R, support(24, 0)), 8, y);
    int[] out = {5, 77, 200};
    for (int row : out) {
      assertThat(aside.setAside(row)).isTrue();
    }
    int[] kept = IntStream.range(0, s.size()).filter(i -> i != 5 && i != 77 && i != 200).toArray();
    Vec3[] points = new Vec3[kept.length];
    double[] values = new double[kept.length];
    for (int i = 0; i < kept.length; i++) {
      points[i] = s.point(kept[i]);
      values[i] = y[kept[i]];
    }
    Sampling fewer = Sampling.ofFreePoints(points);
    WorkingFit without = new WorkingFit(HarmonicDesign.of(fewer, 8, R, null), 8, values);
    double[] a = aside.solve().expansion().coefficients();
    double[] b = without.solve().expansion().coefficients();
    for (int i = 0; i < a.length; i++) {
      assertThat(a[i]).isCloseTo(b[i], within(1e-12));
    }
    assertThat(aside.residualSumOfSquares())
        .isCloseTo(without.residualSumOfSquares(), within(1e-10));
    assertThat(aside.degreesOfFreedom()).isEqualTo(without.degreesOfFreedom());
    FieldModel ma = FieldModels.of(aside.solve(), 1, nothingStated(), "");
    FieldModel mb = FieldModels.of(without.solve(), 1, nothingStated(), "");
    assertThat(ma.condition()).isCloseTo(mb.condition(), within(1e-9));
    // Leave-one-out of the first row out, by its own column, equals reading minus prediction.
    assertThat(aside.solve().extra(0))
        .isCloseTo(y[5] - without.solve().expansion().at(s.point(5)), within(1e-11));
  }

  static ErrorSources nothingStated() {
    return new ErrorSources(null, null, null, null, null, List.of());
  }

  /**
   * Problem M1 of the benchmark problems: rms standard deviation of the coefficients per unit of
   * reading noise, closed geometry, independently computed.
   */
  @ParameterizedTest
  @CsvSource({
    "12,24,6,0.192",
    "12,24,8,0.219",
    "12,24,10,0.243",
    "24,24,8,0.156",
    "24,24,10,0.173",
    "24,32,12,0.163"
  })
  void noiseReachesTheCoefficientsAsInM1(int probes, int angles, int degree, double expected) {
    HarmonicDesign design =
        HarmonicDesign.of(turning(probes, angles, 0, 0, 1), degree, R, support(angles, 0));
    WorkingFit fit = new WorkingFit(design, degree, new double[probes * angles]);
    double[] c = fit.solve().unitCovariance();
    int p = fit.solve().terms().size();
    double sum = 0;
    for (int i = 0; i < p; i++) {
      sum += c[i * p + i];
    }
    assertThat(Math.sqrt(sum / p)).isCloseTo(expected, within(0.0007));
    assertThat(FieldModels.of(fit.solve(), 1, nothingStated(), "").condition()).isBetween(3.5, 6.6);
  }

  @Test
  void equalAnglesHideWhatTheyMust() {
    AngularSupport s = support(24, 0);
    assertThat(s.hides(new Term(12, 11, Term.Part.SIN))).isFalse();
    assertThat(s.hides(new Term(12, 12, Term.Part.COS))).isFalse();
    assertThat(s.hides(new Term(12, 12, Term.Part.SIN))).isTrue();
    assertThat(s.hides(new Term(14, 13, Term.Part.COS))).isTrue();
    assertThat(s.aliasOf(13)).isEqualTo(11);
    AngularSupport half = support(24, 7.5);
    assertThat(half.hides(new Term(12, 12, Term.Part.COS))).isTrue();
    assertThat(half.hides(new Term(12, 12, Term.Part.SIN))).isFalse();
    assertThat(AngularSupport.of(new double[] {0, 90, 180, 270, 360}).count()).isEqualTo(4);
    assertThat(AngularSupport.of(new double[] {0, 90, 181, 270}).equal()).isFalse();
  }

  /**
   * Gauss–Legendre planes × equal angles with their weights give a coefficient exactly where L +
   * L_true ≤ 2N − 1 and m + m_true &lt; M (Abramowitz &amp; Stegun 25.4; discrete orthogonality).
   */
  @ParameterizedTest
  @CsvSource({"12,24,11,true", "12,22,11,false", "7,13,6,true", "6,13,6,false"})
  void gaussSumsAreExactUpToTheirDegree(int planes, int angles, int degree, boolean exact) {
    GaussLegendre rule = GaussLegendre.of(planes);
    double[] truth = new SplittableRandom(8).doubles(Term.count(degree), -1, 1).toArray();
    Expansion field = new Expansion(1, truth);
    double worst = 0;
    double[] sum = new double[truth.length];
    for (int i = 0; i < planes; i++) {
      for (int a = 0; a < angles; a++) {
        Vec3 u = Vec3.spherical(1, Math.acos(rule.node(i)), 2 * Math.PI * a / angles);
        double[] h = new SolidHarmonics(degree, 1).evaluate(u);
        double value = field.at(u) * rule.weight(i) / (2 * angles);
        for (int k = 0; k < sum.length; k++) {
          sum[k] += (2 * Term.at(k).n() + 1) * value * h[k];
        }
      }
    }
    for (int k = 0; k < sum.length; k++) {
      worst = Math.max(worst, Math.abs(sum[k] - truth[k]));
    }
    if (exact) {
      assertThat(worst).isLessThan(1e-13);
    } else {
      assertThat(worst).isGreaterThan(0.01);
    }
  }

  /**
   * Free points that lie elsewhere than stated, by draws of every point in each direction and a fit
   * to each: 1,500 draws know a variance to 3.7 %.
   */
  @Test
  void misplacedFreePointsReachTheCoefficientsAsDrawn() {
    double sigma = 2e-4;
    int degree = 3;
    SplittableRandom random = new SplittableRandom(31);
    Expansion field = new Expansion(R, random.doubles(Term.count(degree), -100, 100).toArray());
    Vec3[] points = new Vec3[120];
    for (int i = 0; i < points.length; i++) {
      points[i] =
          Vec3.spherical(
              R * Math.cbrt(random.nextDouble()),
              Math.acos(random.nextDouble(-1, 1)),
              random.nextDouble(2 * Math.PI));
    }
    HarmonicDesign design = HarmonicDesign.of(Sampling.ofFreePoints(points), degree, R, null);
    double[] exact = new double[points.length];
    for (int i = 0; i < exact.length; i++) {
      exact[i] = field.at(points[i]);
    }
    FieldModel model =
        FieldModels.of(
            new WorkingFit(design, degree, exact).solve(),
            1,
            new ErrorSources(null, sigma, null, null, null, List.of()),
            "");
    int draws = 1500;
    double[] square = new double[Term.count(degree)];
    for (int d = 0; d < draws; d++) {
      double[] read = new double[points.length];
      for (int i = 0; i < read.length; i++) {
        Vec3 off = new Vec3(random.nextGaussian(), random.nextGaussian(), random.nextGaussian());
        read[i] = field.at(points[i].plus(off.times(sigma)));
      }
      double[] c = new WorkingFit(design, degree, read).solve().expansion().coefficients();
      for (int k = 1; k < c.length; k++) {
        square[k] += Math.pow(c[k] - field.coefficient(k), 2) / draws;
      }
    }
    Covariance stated =
        model.shares().stream()
            .filter(s -> s.source() == FieldModel.Source.POSITION)
            .findFirst()
            .orElseThrow()
            .covariance();
    for (int k = 1; k < square.length; k++) {
      assertThat(stated.at(k, k)).isCloseTo(square[k], within(0.16 * square[k]));
    }
  }
}
