package org.fieldwright.core.correction;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.Term;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * The closed-form coil yardstick AS1: the whole-body magnet's sines with 60 ppm of amplitude, coils
 * of one Schmidt harmonic each with 3 % of the harmonic two degrees up, 20 units at most. Optima by
 * scipy (lstsq, lsq_linear, linprog with HiGHS), to the digits published.
 */
class CoilFitTest {
  private static final BodyMagnet MAGNET = new BodyMagnet(1.5, 0.225, 60);
  private static final double MOST = 20;

  @ParameterizedTest
  @CsvSource({
    "1, 68.51, 72.48, 72.48, 72.21",
    "2, 38.58, 45.95, 45.95, 43.197",
    "3, 18.10, 24.00, 22.65, 17.072",
    "4, 6.78, 14.36, 12.12, 9.542"
  })
  void meetsThePublishedOptima(
      int degree, double unbounded, double clipped, double bounded, double minimax) {
    CoilFit limited = fit(degree, MOST);
    double[] free = fit(degree, 1e6).leastSquares();
    assertThat(limited.peakToPeak(new double[limited.response().length]))
        .isCloseTo(92.27, within(0.005));
    assertThat(limited.peakToPeak(free)).isCloseTo(unbounded, within(0.006));
    assertThat(limited.peakToPeak(limited.clamp(free))).isCloseTo(clipped, within(0.006));
    assertThat(limited.peakToPeak(limited.leastSquares())).isCloseTo(bounded, within(0.006));
    assertThat(limited.peakToPeak(limited.minimax())).isCloseTo(minimax, within(0.006));
  }

  /** Karush, Kuhn, Tucker: inside its bounds a current has no slope, at a bound it pushes out. */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20})
  void boundedLeastSquaresIsOptimal(long seed) {
    SplittableRandom random = new SplittableRandom(seed);
    int n = 1 + random.nextInt(12);
    int points = 5 + random.nextInt(40);
    CoilFit fit =
        new CoilFit(
            normal(random, points, 10),
            random.ints(n).mapToObj(i -> normal(random, points, 1)).toArray(double[][]::new),
            random.doubles(n, -3, 0).toArray(),
            random.doubles(n, 0, 3).toArray());
    double[] x = fit.leastSquares();
    double[] field = fit.before().clone();
    for (int k = 0; k < n; k++) {
      for (int i = 0; i < points; i++) {
        field[i] += x[k] * fit.response()[k][i];
      }
    }
    double mean = Arrays.stream(field).average().orElseThrow();
    for (int k = 0; k < n; k++) {
      double slope = 0;
      for (int i = 0; i < points; i++) {
        slope += (field[i] - mean) * fit.response()[k][i];
      }
      String what = "seed %d, coil %d".formatted(seed, k);
      assertThat(x[k]).as(what).isBetween(fit.lower()[k], fit.upper()[k]);
      if (x[k] > fit.lower()[k]) {
        assertThat(slope).as(what).isLessThan(1e-7);
      }
      if (x[k] < fit.upper()[k]) {
        assertThat(slope).as(what).isGreaterThan(-1e-7);
      }
    }
  }

  private static double[] normal(SplittableRandom random, int count, double size) {
    double[] v = new double[count];
    Arrays.setAll(v, i -> size * random.nextGaussian());
    return v;
  }

  private static CoilFit fit(int degree, double most) {
    List<Vec3> points = MAGNET.readingPoints();
    List<double[]> responses = new ArrayList<>();
    for (int n = 1; n <= degree; n++) {
      for (int m = 0; m <= n; m++) {
        for (Term.Part part : m == 0 ? List.of(Term.Part.COS) : List.of(Term.Part.values())) {
          double[] c = new double[Term.count(n + 2)];
          c[Term.index(n, m, part)] = 1;
          c[Term.index(n + 2, m, part)] = responses.size() % 2 == 0 ? 0.03 : -0.03;
          responses.add(at(points, new Expansion(MAGNET.radius(), c)));
        }
      }
    }
    double[] upper = new double[responses.size()];
    Arrays.fill(upper, most);
    double[] lower = Arrays.stream(upper).map(u -> -u).toArray();
    return new CoilFit(
        at(points, MAGNET.bare().ppm()), responses.toArray(double[][]::new), lower, upper);
  }

  private static double[] at(List<Vec3> points, Expansion field) {
    return points.stream().mapToDouble(field::at).toArray();
  }
}
