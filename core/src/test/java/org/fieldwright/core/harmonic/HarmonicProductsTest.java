package org.fieldwright.core.harmonic;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.SplittableRandom;
import org.fieldwright.core.geometry.Vec3;
import org.junit.jupiter.api.Test;

/** Products of harmonics as sums of harmonics, against the products themselves. */
class HarmonicProductsTest {
  private static final int DEGREE = 7;

  private static Vec3 point(SplittableRandom random) {
    return Vec3.spherical(
        random.nextDouble(0.05, 0.3),
        Math.acos(random.nextDouble(-1, 1)),
        random.nextDouble(2 * Math.PI));
  }

  /** z² = (ρ² + 2 T₂₀)/3 and x² = (ρ² − T₂₀ + √3 T₂₂)/3: P₁² = (P₀ + 2 P₂)/3, DLMF 14.7.2. */
  @Test
  void squaresOfTheFirstDegree() {
    HarmonicProducts products = new HarmonicProducts(1);
    double[][] z = new double[4][4];
    z[1][1] = 1;
    double[][] x = new double[4][4];
    x[2][2] = 1;
    double[] h = new SolidHarmonics(2, 1).evaluate(new Vec3(0.3, -0.5, 0.7));
    assertThat(products.quadratic(z, 1).at(h, 0.83)).isCloseTo(0.49, within(1e-15));
    assertThat(products.quadratic(x, 1).at(h, 0.83)).isCloseTo(0.09, within(1e-15));
  }

  /** Sums of up to 1e4 products of order one: 1e-13 of their sizes is a hundred roundings. */
  @Test
  void aQuadraticFormIsItsOwnSum() {
    HarmonicProducts products = new HarmonicProducts(DEGREE);
    SplittableRandom random = new SplittableRandom(20261126);
    SolidHarmonics basis = new SolidHarmonics(2 * DEGREE, 0.25);
    int size = Term.count(DEGREE);
    for (int upTo : new int[] {0, 1, 4, DEGREE}) {
      double[][] a = new double[size][size];
      for (int i = 0; i < size; i++) {
        for (int j = 0; j <= i; j++) {
          a[i][j] = random.nextDouble(-1, 1);
          a[j][i] = a[i][j];
        }
      }
      PolynomialSum form = products.quadratic(a, upTo);
      for (int trial = 0; trial < 5; trial++) {
        Vec3 p = point(random);
        double[] h = basis.evaluate(p);
        double direct = 0;
        double absolute = 0;
        for (int i = 0; i < Term.count(upTo); i++) {
          for (int j = 0; j < Term.count(upTo); j++) {
            direct += a[i][j] * h[i] * h[j];
            absolute += Math.abs(a[i][j] * h[i] * h[j]);
          }
        }
        assertThat(form.at(h, PointMoments.square(p, 0.25)))
            .as("degree %d, %s", upTo, p)
            .isCloseTo(direct, within(1e-13 * absolute + 1e-13));
      }
    }
  }

  @Test
  void momentsHoldEveryProduct() {
    HarmonicProducts products = new HarmonicProducts(DEGREE);
    SplittableRandom random = new SplittableRandom(7);
    PointMoments moments = new PointMoments(DEGREE, 0.3);
    SolidHarmonics basis = new SolidHarmonics(DEGREE, 0.3);
    int size = basis.count();
    double[][] gram = new double[size][size];
    double[] right = new double[size];
    for (int i = 0; i < 37; i++) { // not a multiple of the block
      Vec3 p = point(random);
      double weight = random.nextDouble(0.5, 2);
      double value = random.nextDouble(-1, 1);
      moments.add(p, weight, value);
      double[] h = basis.evaluate(p);
      for (int a = 0; a < size; a++) {
        right[a] += weight * value * h[a];
        for (int b = 0; b < size; b++) {
          gram[a][b] += weight * h[a] * h[b];
        }
      }
    }
    moments.add(new Vec3(0.1, 0.2, -0.1), 1.3, 5);
    moments.remove(new Vec3(0.1, 0.2, -0.1), 1.3, 5);
    double[][] found = products.products(moments.sums(), DEGREE);
    for (int a = 0; a < size; a++) {
      assertThat(found[a]).containsExactly(gram[a], within(37 * 1e-14));
    }
    assertThat(moments.values(DEGREE)).containsExactly(right, within(37 * 1e-15));
    double[][] low = products.products(moments.sums(), 4);
    for (int a = 0; a < low.length; a++) {
      assertThat(low[a]).containsExactly(java.util.Arrays.copyOf(gram[a], 25), within(37 * 1e-14));
    }
  }
}
