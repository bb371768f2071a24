package org.fieldwright.core.harmonic;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import java.util.SplittableRandom;
import org.fieldwright.core.geometry.Vec3;
import org.junit.jupiter.api.Test;

/** Against the QR factorisation of the whole matrix. */
class PointFitTest {
  private static final double R = 0.2;
  private static final int DEGREE = 8;
  private static final int POINTS = 1003; // no multiple of the block

  private final SplittableRandom random = new SplittableRandom(314);
  private final Vec3[] points = new Vec3[POINTS];
  private final double[] values = random.doubles(POINTS, -100, 100).toArray();

  /** Uniform in the part of the ball whose directions have cos θ above this. */
  private void scatter(double leastCos) {
    for (int i = 0; i < POINTS; i++) {
      double r = R * Math.cbrt(random.nextDouble());
      double polar = Math.acos(random.nextDouble(leastCos, 1));
      points[i] = Vec3.spherical(r, polar, random.nextDouble(2 * Math.PI));
    }
  }

  private PointFit fed() {
    PointFit fit = new PointFit(DEGREE, R);
    PointFit other = new PointFit(DEGREE, R);
    fit.add(Arrays.copyOf(points, 100), Arrays.copyOf(values, 100));
    other.add(Arrays.copyOfRange(points, 100, POINTS), Arrays.copyOfRange(values, 100, POINTS));
    fit.merge(other);
    return fit;
  }

  private WorkingFit general() {
    HarmonicDesign design = HarmonicDesign.general(Sampling.ofFreePoints(points), DEGREE, R, null);
    return new WorkingFit(design, DEGREE, values);
  }

  private static void assertSame(PointFit.Solution found, WorkingFit general, double tolerance) {
    WorkingFit.Solution solution = general.solve();
    double[] expected = solution.expansion().coefficients();
    double[] unit = solution.unitCovariance();
    double variance = general.residualSumOfSquares() / general.degreesOfFreedom();
    double size = Arrays.stream(expected).map(Math::abs).max().orElse(0);
    assertThat(found.unseen()).isEqualTo(general.design().unseen());
    for (int k = 0; k < expected.length; k++) {
      assertThat(found.expansion().coefficient(k)).isCloseTo(expected[k], within(tolerance * size));
    }
    int count = solution.termCount();
    Covariance covariance = found.covariance();
    for (int i = 0; i < count; i++) {
      int term = general.design().terms().get(i).index();
      assertThat(covariance.at(term, term) / (variance * unit[i * count + i]))
          .isCloseTo(1, within(1e-7));
    }
    assertThat(found.residualSumOfSquares() / general.residualSumOfSquares())
        .isCloseTo(1, within(1e-12));
  }

  @Test
  void spreadPointsLoseNothing() {
    scatter(-1);
    assertSame(fed().solve(), general(), 1e-12);
  }

  /** A cone of 45°: condition some 1e5, so the plain normal equations lose ten digits. */
  @Test
  void aSecondLookTakesBackWhatACapLoses() {
    scatter(Math.sqrt(0.5));
    PointFit.Solution plain = fed().solve();
    PointFit.Correction correction = plain.correction();
    PointFit.Correction rest = plain.correction();
    correction.add(Arrays.copyOf(points, 500), Arrays.copyOf(values, 500));
    rest.add(Arrays.copyOfRange(points, 500, POINTS), Arrays.copyOfRange(values, 500, POINTS));
    correction.merge(rest);
    assertSame(correction.solve(), general(), 1e-11);
  }

  /** Points in the plane z = 0 see nothing that is odd in z. */
  @Test
  void aPlaneHidesWhatIsOddInZ() {
    scatter(-1);
    for (int i = 0; i < POINTS; i++) {
      points[i] = new Vec3(points[i].x(), points[i].y(), 0);
    }
    PointFit.Solution found = fed().solve();
    assertThat(found.unseen()).contains(new Term(1, 0, Term.Part.COS));
    assertThat(found.unseen()).isEqualTo(general().design().unseen());
  }
}
