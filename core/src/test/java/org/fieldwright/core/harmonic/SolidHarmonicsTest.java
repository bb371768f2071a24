package org.fieldwright.core.harmonic;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.SplittableRandom;
import org.fieldwright.core.geometry.Vec3;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class SolidHarmonicsTest {

  /** Values by the 40-digit Rodrigues formula; see the file's head. */
  @Test
  void valuesAgreeWithTheTable() {
    for (String[] row : Resources.rows("legendre.csv")) {
      int n = Integer.parseInt(row[0]);
      int m = Integer.parseInt(row[1]);
      double x = Double.parseDouble(row[2]);
      double schmidt =
          new SolidHarmonics(n, 1)
              .evaluate(new Vec3(Math.sqrt(1 - x * x), 0, x))[Term.index(n, m, Term.Part.COS)];
      if (row.length > 4 && !row[4].equals("None")) {
        double expected = Double.parseDouble(row[4]);
        assertThat(schmidt).as(n + "," + m).isCloseTo(expected, within(4e-15 * (1 + n)));
      }
      double plain = Double.parseDouble(row[3]);
      double ours = schmidt / Normalisation.UNNORMALISED.coefficientFromSchmidt(n, m);
      assertThat(ours / plain).as(n + "," + m).isCloseTo(1, within(2e-14));
    }
  }

  /**
   * Addition theorem at coinciding points (DLMF 14.30.9): Schmidt's squares of one degree sum to 1
   * everywhere, near the poles too.
   */
  @ParameterizedTest
  @ValueSource(doubles = {0, 1e-9, 1e-4, 0.01, 0.3, 1, 1.5707963, 2.5, 3.14159})
  void squaresOfADegreeSumToOneToDegreeSixty(double theta) {
    double[] h = new SolidHarmonics(60, 1).evaluate(Vec3.spherical(1, theta, 0.7));
    for (int n = 0; n <= 60; n++) {
      double sum = 0;
      for (int i = n * n; i < (n + 1) * (n + 1); i++) {
        sum += h[i] * h[i];
      }
      assertThat(sum).as("degree " + n).isCloseTo(1, within(4e-13)); // 60² × 2⁻⁵³
    }
  }

  /** Addition theorem between two directions; P_n values by 40 digits, DLMF 14.30.9. */
  @Test
  void productsOfTwoDirectionsSumToLegendre() {
    double[] a = new SolidHarmonics(8, 1).evaluate(Vec3.spherical(1, 0.7, 0.3));
    double[] b = new SolidHarmonics(8, 1).evaluate(Vec3.spherical(1, 1.9, -1.1));
    int[] degrees = {3, 5, 8};
    double[] expected = {0.20806377041112897, -0.24388757016751617, 0.09254798068947595};
    for (int k = 0; k < 3; k++) {
      double sum = 0;
      for (int i = degrees[k] * degrees[k]; i < (degrees[k] + 1) * (degrees[k] + 1); i++) {
        sum += a[i] * b[i];
      }
      assertThat(sum).isCloseTo(expected[k], within(1e-15));
    }
  }

  /** Low terms in Cartesian form (common practice, no source). */
  @Test
  void lowTermsAreTheTradesPolynomials() {
    Vec3 p = new Vec3(0.3, -0.2, 0.5);
    double[] h = new SolidHarmonics(2, 1).evaluate(p);
    assertThat(h[new Term(1, 0, Term.Part.COS).index()]).isCloseTo(0.5, within(1e-15));
    assertThat(h[new Term(1, 1, Term.Part.COS).index()]).isCloseTo(0.3, within(1e-15));
    assertThat(h[new Term(1, 1, Term.Part.SIN).index()]).isCloseTo(-0.2, within(1e-15));
    assertThat(h[new Term(2, 0, Term.Part.COS).index()]).isCloseTo(0.25 - 0.13 / 2, within(1e-15));
    assertThat(h[new Term(2, 1, Term.Part.COS).index()])
        .isCloseTo(Math.sqrt(3) * 0.5 * 0.3, within(1e-15));
    assertThat(h[new Term(2, 2, Term.Part.COS).index()])
        .isCloseTo(Math.sqrt(3) / 2 * (0.09 - 0.04), within(1e-15));
    assertThat(h[new Term(2, 2, Term.Part.SIN).index()])
        .isCloseTo(Math.sqrt(3) * 0.3 * -0.2, within(1e-15));
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3})
  void gradientAgreesWithFiniteDifferences(long seed) {
    SplittableRandom random = new SplittableRandom(seed);
    double[] c = new double[Term.count(9)];
    for (int i = 0; i < c.length; i++) {
      c[i] = random.nextDouble(-1, 1);
    }
    Expansion field = new Expansion(0.2, c);
    Expansion[] d = field.gradient();
    Vec3 p = Vec3.spherical(0.15, random.nextDouble(Math.PI), random.nextDouble(2 * Math.PI));
    double h = 1e-5;
    Vec3[] axes = {Vec3.UNIT_X, Vec3.UNIT_Y, Vec3.UNIT_Z};
    for (int k = 0; k < 3; k++) {
      double numeric =
          (field.at(p.plus(axes[k].times(h))) - field.at(p.minus(axes[k].times(h)))) / (2 * h);
      assertThat(d[k].at(p)).as("seed " + seed).isCloseTo(numeric, within(1e-5));
    }
  }

  @Test
  void everyIndexNamesItsTerm() {
    for (int i = 0; i < Term.count(60); i++) {
      assertThat(Term.at(i).index()).isEqualTo(i);
    }
  }

  @Test
  void normalisationsConvertExactly() {
    // Mean squares over the unit sphere, by the closed forms of each normalisation's definition.
    for (int n = 0; n <= 12; n++) {
      for (int m = 0; m <= n; m++) {
        double toOrthonormal = Normalisation.ORTHONORMAL.coefficientFromSchmidt(n, m);
        assertThat(toOrthonormal * Math.sqrt(2 * n + 1)).isCloseTo(1, within(1e-15));
        double ratio = 1; // (n−m)!/(n+m)!
        for (int k = n - m + 1; k <= n + m; k++) {
          ratio /= k;
        }
        double factor = Normalisation.UNNORMALISED.coefficientFromSchmidt(n, m);
        assertThat(factor * factor / ((m == 0 ? 1 : 2) * ratio)).isCloseTo(1, within(1e-13));
      }
    }
  }
}
