package org.fieldwright.core.harmonic;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import java.util.stream.IntStream;
import org.fieldwright.core.geometry.Vec3;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** The walk over the nested columns against a fit of each degree by itself. */
class DegreeLadderTest {
  private static final double R = 0.2;

  /** Weighted free points in a ball. */
  private static Sampling cloud(SplittableRandom random, int count) {
    Vec3[] points = new Vec3[count];
    double[] weight = new double[count];
    int[] none = new int[count];
    Arrays.fill(none, -1);
    for (int i = 0; i < count; i++) {
      double r = R * Math.cbrt(random.nextDouble());
      double polar = Math.acos(random.nextDouble(-1, 1));
      points[i] = Vec3.spherical(r, polar, random.nextDouble(2 * Math.PI));
      weight[i] = random.nextDouble(0.5, 2);
    }
    return new Sampling(points, weight, none, none);
  }

  /** An expansion beyond the ladder's top, with noise. */
  private static double[] read(SplittableRandom random, Sampling s, int degree) {
    double[] c = new double[Term.count(degree)];
    for (int k = 1; k < c.length; k++) {
      c[k] = 300 * Math.pow(0.4, Term.at(k).n()) * random.nextDouble(-1, 1);
    }
    Expansion field = new Expansion(R, c);
    double[] y = new double[s.size()];
    for (int i = 0; i < y.length; i++) {
      y[i] = field.at(s.point(i)) + 0.02 * random.nextGaussian();
    }
    return y;
  }

  private static double press(WorkingFit fit) {
    double sum = 0;
    for (int i = 0; i < fit.rows(); i++) {
      sum += fit.isSetAside(i) ? 0 : Math.pow(fit.residual(i) / fit.redundancy(i), 2);
    }
    return sum;
  }

  private static void assertLikeFits(
      HarmonicDesign design, double[] y, int[] aside, List<double[]> nuisances) {
    DegreeLadder ladder = new DegreeLadder(design, y);
    Arrays.stream(aside).forEach(ladder::setAside);
    nuisances.forEach(ladder::free);
    List<DegreeLadder.Rung> rungs = ladder.climb();
    assertThat(rungs).hasSize(design.degree() + 1);
    for (DegreeLadder.Rung rung : rungs) {
      WorkingFit fit = new WorkingFit(design, rung.degree(), y);
      Arrays.stream(aside).forEach(fit::setAside);
      nuisances.forEach(n -> fit.free(n, n));
      assertThat(rung.press() / press(fit))
          .as("degree %d", rung.degree())
          .isCloseTo(1, within(1e-10));
      assertThat(rung.readings()).isEqualTo(fit.rows() - fit.setAsideCount());
    }
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3})
  void everyDegreeIsThatOfItsOwnFit(long seed) {
    SplittableRandom random = new SplittableRandom(seed);
    Sampling cloud = cloud(random, 350);
    double[] y = read(random, cloud, 12);
    HarmonicDesign design = HarmonicDesign.of(cloud, 10, R, null);
    assertLikeFits(design, y, new int[0], List.of());
    int[] aside = random.ints(9, 0, y.length).distinct().toArray();
    for (int row : aside) {
      y[row] += 7;
    }
    assertLikeFits(design, y, aside, List.of());
  }

  @Test
  void nuisancesAreCarriedAlong() {
    Sampling turn = HarmonicDesignTest.turning(14, 20, 3, 0.02, 5);
    SplittableRandom random = new SplittableRandom(9);
    double[] y = read(random, turn, 12);
    double[] offset = new double[y.length];
    double[] drift = new double[y.length];
    for (int i = 0; i < y.length; i++) {
      offset[i] = turn.probe(i) == 4 ? turn.rootWeight(i) : 0;
      drift[i] = turn.rootWeight(i) * i / y.length;
    }
    HarmonicDesign design = HarmonicDesign.of(turn, 9, 0.225, HarmonicDesignTest.support(20, 3));
    assertLikeFits(design, y, new int[] {40, 41, 173}, List.of(offset, drift));
  }

  /** PRESS by its definition: every reading left out in turn and predicted by the others. */
  @Test
  void pressIsWhatLeavingOutEachReadingGives() {
    SplittableRandom random = new SplittableRandom(17);
    Sampling cloud = cloud(random, 60);
    double[] y = read(random, cloud, 5);
    DegreeLadder.Rung rung =
        new DegreeLadder(HarmonicDesign.of(cloud, 4, R, null), y).climb().get(4);
    double sum = 0;
    for (int out = 0; out < y.length; out++) {
      int skipped = out;
      int[] others = IntStream.range(0, y.length).filter(i -> i != skipped).toArray();
      Vec3[] points = new Vec3[others.length];
      double[] weight = new double[others.length];
      double[] values = new double[others.length];
      int[] none = new int[others.length];
      Arrays.fill(none, -1);
      for (int k = 0; k < others.length; k++) {
        points[k] = cloud.point(others[k]);
        weight[k] = cloud.rootWeight(others[k]);
        values[k] = y[others[k]];
      }
      HarmonicDesign design =
          HarmonicDesign.of(new Sampling(points, weight, none, none), 4, R, null);
      double predicted = new WorkingFit(design, 4, values).solve().expansion().at(cloud.point(out));
      sum += Math.pow(cloud.rootWeight(out) * (y[out] - predicted), 2);
    }
    assertThat(rung.press()).isCloseTo(sum, within(1e-10 * sum));
  }
}
