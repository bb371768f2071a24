package org.fieldwright.core.harmonic;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;

/** The least-squares solver against NIST's certified regressions and the GUM's straight line. */
class OrthonormalColumnsTest {

  private static double[] fit(OrthonormalColumns columns, double[] y) {
    double[] b = columns.coordinates(y);
    columns.solveUpper(b);
    return b;
  }

  private static double[] certified(String set, String kind) {
    for (String[] row : Resources.rows("strd-certified.csv")) {
      if (row[0].equals(set) && row[1].equals(kind)) {
        return java.util.Arrays.stream(row[2].split(" "))
            .mapToDouble(Double::parseDouble)
            .toArray();
      }
    }
    throw new IllegalArgumentException(set + " " + kind);
  }

  private static double[] column(List<String[]> rows, int k) {
    return rows.stream().mapToDouble(r -> Double.parseDouble(r[k])).toArray();
  }

  private static double residualDeviation(OrthonormalColumns columns, double[] y) {
    double[] r = y.clone();
    for (int j = 0; j < columns.count(); j++) {
      columns.subtract(j, columns.coordinate(j, r), r);
    }
    double sum = 0;
    for (double e : r) {
      sum += e * e;
    }
    return Math.sqrt(sum / (y.length - columns.count()));
  }

  private static void assertCertified(
      String set, OrthonormalColumns columns, double[] y, double digits) {
    double tolerance = Math.pow(10, -digits);
    double[] b = fit(columns, y);
    double[] expected = certified(set, "b");
    double[] deviation = certified(set, "sd");
    double s = residualDeviation(columns, y);
    assertThat(s / certified(set, "rsd")[0]).as(set).isCloseTo(1, within(tolerance));
    double[] inverse = columns.inverseUpper(columns.count());
    int count = columns.count();
    for (int i = 0; i < count; i++) {
      assertThat(b[i] / expected[i]).as(set + " b" + i).isCloseTo(1, within(tolerance));
      double square = 0;
      for (int k = i; k < count; k++) {
        square += inverse[i * count + k] * inverse[i * count + k];
      }
      assertThat(s * Math.sqrt(square) / deviation[i])
          .as(set + " sd" + i)
          .isCloseTo(1, within(tolerance));
    }
  }

  /** NIST StRD Longley, multicollinear: condition 5e9, so 16 − 9.7 digits are left of double. */
  @Test
  void longleyIsMetToTheDigitsDoubleAllows() {
    List<String[]> rows = Resources.rows("Longley.csv");
    OrthonormalColumns columns = new OrthonormalColumns(rows.size(), 7);
    double[] ones = new double[rows.size()];
    java.util.Arrays.fill(ones, 1);
    columns.append(ones, 0);
    for (int k = 1; k <= 6; k++) {
      columns.append(column(rows, k), 0);
    }
    assertCertified("Longley", columns, column(rows, 0), 9);
  }

  /** NIST StRD Filip: a polynomial of degree 10, condition 1e15; published solvers reach 7 to 8. */
  @Test
  void filipIsMetToTheDigitsDoubleAllows() {
    List<String[]> rows = Resources.rows("Filip.csv");
    double[] x = column(rows, 1);
    OrthonormalColumns columns = new OrthonormalColumns(rows.size(), 11);
    double[] power = new double[x.length];
    java.util.Arrays.fill(power, 1);
    for (int k = 0; k <= 10; k++) {
      columns.append(power, 0);
      for (int i = 0; i < x.length; i++) {
        power[i] *= x[i];
      }
    }
    assertCertified("Filip", columns, column(rows, 0), 6.5);
  }

  /** NIST StRD Norris, a straight line. */
  @Test
  void norrisIsMet() {
    List<double[]> data =
        Resources.text("Norris.dat")
            .lines()
            .skip(60)
            .map(String::strip)
            .filter(l -> l.matches("[-0-9.]+\\s+[-0-9.]+"))
            .map(
                l ->
                    java.util.Arrays.stream(l.split("\\s+"))
                        .mapToDouble(Double::parseDouble)
                        .toArray())
            .toList();
    assertThat(data).hasSize(36);
    OrthonormalColumns columns = new OrthonormalColumns(36, 2);
    double[] ones = new double[36];
    java.util.Arrays.fill(ones, 1);
    columns.append(ones, 0);
    columns.append(data.stream().mapToDouble(d -> d[1]).toArray(), 0);
    assertCertified("Norris", columns, data.stream().mapToDouble(d -> d[0]).toArray(), 11);
  }

  /** JCGM 100:2008, H.3: calibration of a thermometer by a straight line, covariance included. */
  @Test
  void theGuidesStraightLineIsMet() {
    List<String[]> rows = Resources.rows("H3_thermometer.csv");
    int n = rows.size();
    OrthonormalColumns columns = new OrthonormalColumns(n, 2);
    double[] ones = new double[n];
    java.util.Arrays.fill(ones, 1);
    double[] t = column(rows, 0);
    for (int i = 0; i < n; i++) {
      t[i] -= 20;
    }
    double[] y = column(rows, 1);
    columns.append(ones, 0);
    columns.append(t, 0);
    double[] b = fit(columns, y);
    double s = residualDeviation(columns, y);
    double[] r = columns.inverseUpper(columns.count());
    double u1 = s * Math.hypot(r[0], r[1]);
    double u2 = s * Math.abs(r[3]);
    assertThat(b[0]).isCloseTo(-0.1712037901, within(1e-9));
    assertThat(b[1]).isCloseTo(0.0021826977, within(1e-9));
    assertThat(s).isCloseTo(0.0034975640, within(1e-9));
    assertThat(u1).isCloseTo(0.0028775978, within(1e-9));
    assertThat(u2).isCloseTo(0.0006679388, within(1e-9));
    assertThat(s * s * r[1] * r[3] / (u1 * u2)).isCloseTo(-0.9304296031, within(1e-9));
  }

  @Test
  void aDependentColumnIsLeftOut() {
    SplittableRandom random = new SplittableRandom(4);
    OrthonormalColumns columns = new OrthonormalColumns(40, 3);
    double[] a = random.doubles(40).toArray();
    double[] b = random.doubles(40).toArray();
    double[] c = new double[40];
    for (int i = 0; i < 40; i++) {
      c[i] = 3 * a[i] - 2 * b[i];
    }
    assertThat(columns.append(a, 1e-6)).isCloseTo(1, within(1e-12));
    assertThat(columns.append(b, 1e-6)).isGreaterThan(0.1);
    assertThat(columns.append(c, 1e-6)).isLessThan(1e-14);
    assertThat(columns.count()).isEqualTo(2);
  }

  /**
   * Panels of many columns at once against one column after the other, dependent ones among them.
   */
  @Test
  void manyAtOnceAreAsOneAfterTheOther() {
    SplittableRandom random = new SplittableRandom(12);
    int rows = 1300; // more than are taken at a time
    double[][] all = new double[75][rows];
    for (int k = 0; k < all.length; k++) {
      double common = k > 40 ? 1 - Math.pow(10, 0.5 - k % 5) : 0; // of the column twenty before
      for (int i = 0; i < rows; i++) {
        all[k][i] = (k > 20 ? common * all[k - 20][i] : 0) + (1 - common) * random.nextGaussian();
      }
    }
    all[50] = new double[rows];
    for (int i = 0; i < rows; i++) {
      all[66][i] = 2 * all[3][i] - all[64][i]; // from before and within its panel
    }
    OrthonormalColumns one = new OrthonormalColumns(rows, 75);
    boolean[] expected = new boolean[all.length];
    for (int k = 0; k < all.length; k++) {
      expected[k] = one.append(all[k], 1e-3) > 1e-3;
    }
    OrthonormalColumns many = new OrthonormalColumns(rows, 1);
    double[][] used = Arrays.stream(all).map(double[]::clone).toArray(double[][]::new);
    assertThat(many.appendAll(used, 1e-3)).isEqualTo(expected);
    assertThat(expected[50]).isFalse();
    assertThat(expected[66]).isFalse();
    assertThat(many.count()).isEqualTo(one.count());
    for (int j = 0; j < one.count(); j++) {
      for (int i = 0; i <= j; i++) {
        assertThat(many.r(i, j)).isCloseTo(one.r(i, j), within(1e-10));
        double product = many.coordinate(i, many.slice(j, j + 1)[0]);
        assertThat(product).isCloseTo(i == j ? 1 : 0, within(1e-13));
      }
    }
    for (int i = 0; i < rows; i++) {
      assertThat(many.leverage(i)).isCloseTo(one.leverage(i), within(1e-12));
    }
  }
}
