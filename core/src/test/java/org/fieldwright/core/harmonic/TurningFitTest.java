package org.fieldwright.core.harmonic;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Objects;
import java.util.SplittableRandom;
import org.fieldwright.core.geometry.Vec3;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Against the factorisation of the whole matrix, which knows nothing of turns. */
class TurningFitTest {
  private static final double R = 0.225;

  @ParameterizedTest
  @CsvSource({
    "12,24,10,0,0",
    "24,24,12,0,0.02",
    "24,24,12,7.5,0.02",
    "24,32,16,3.1,0.05",
    "9,8,8,0,0.01",
    "10,7,6,20,0.03"
  })
  void equalsTheGeneralRoute(int probes, int angles, int degree, double start, double spread) {
    Sampling s = HarmonicDesignTest.turning(probes, angles, start, spread, 12);
    AngularSupport support = HarmonicDesignTest.support(angles, start);
    TurningFit fast = Objects.requireNonNull(TurningFit.of(s, degree, R, support));
    HarmonicDesign design = HarmonicDesign.general(s, degree, R, support);
    SplittableRandom random = new SplittableRandom(8);
    for (int survey = 0; survey < 3; survey++) { // one fit serves all
      double[] y = random.doubles(s.size(), -1, 1).toArray();
      TurningFit.Result found = fast.fit(y);
      WorkingFit general = new WorkingFit(design, degree, y);
      WorkingFit.Solution solution = general.solve();
      double[] c = found.expansion().coefficients();
      double[] expected = solution.expansion().coefficients();
      for (int k = 0; k < c.length; k++) {
        assertThat(c[k]).isCloseTo(expected[k], within(1e-12));
      }
      double[] residuals = found.residuals();
      double[] leaveOneOut = found.leaveOneOut();
      for (int i = 0; i < y.length; i++) {
        assertThat(residuals[i]).isCloseTo(general.residual(i), within(1e-12));
        double ofOthers = general.residual(i) / general.redundancy(i);
        assertThat(leaveOneOut[i]).isCloseTo(ofOthers, within(1e-12 * (1 + Math.abs(ofOthers))));
      }
      assertThat(fast.degreesOfFreedom()).isEqualTo(general.degreesOfFreedom());
      assertCovariance(found.covariance(), general, solution);
    }
  }

  private static void assertCovariance(
      Covariance found, WorkingFit general, WorkingFit.Solution solution) {
    double variance = general.residualSumOfSquares() / general.degreesOfFreedom();
    double[] unit = solution.unitCovariance();
    int count = solution.terms().size();
    for (int i = 0; i < count; i++) {
      for (int j = 0; j < count; j++) {
        int ti = general.design().terms().get(i).index();
        int tj = general.design().terms().get(j).index();
        assertThat(found.at(ti, tj)).isCloseTo(variance * unit[i * count + j], within(1e-12));
      }
    }
    for (Term unseen : general.design().unseen()) {
      assertThat(found.at(unseen.index(), unseen.index())).isZero();
    }
  }

  /** A point off its place by more than rounding is no complete turn. */
  @Test
  void refusesWhatIsNoCompleteTurn() {
    Sampling s = HarmonicDesignTest.turning(9, 8, 0, 0, 1);
    Vec3[] points = new Vec3[s.size()];
    double[] weight = new double[s.size()];
    int[] probe = new int[s.size()];
    int[] angle = new int[s.size()];
    for (int i = 0; i < points.length; i++) {
      points[i] = s.point(i);
      weight[i] = s.rootWeight(i);
      probe[i] = s.probe(i);
      angle[i] = s.angle(i);
    }
    points[20] = points[20].times(1.001);
    Sampling moved = new Sampling(points, weight, probe, angle);
    assertThat(TurningFit.of(moved, 4, R, HarmonicDesignTest.support(8, 0))).isNull();
  }
}
