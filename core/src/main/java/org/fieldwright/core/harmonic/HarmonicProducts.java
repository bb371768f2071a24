package org.fieldwright.core.harmonic;

import org.fieldwright.core.geometry.GaussLegendre;

/**
 * The products of two solid harmonics as sums of such harmonics times even powers of the radius,
 *
 * <pre>T_a T_b = Σ_j ρ^(2j) Σ_M g T_LM, L = n + l − 2j, |n − l| ≤ L, M = m + k or |m − k|,</pre>
 *
 * with ρ = r/R0, a = (n, m), b = (l, k), and Gaunt's coefficients g for Schmidt's normalisation. So
 * all products of harmonics up to degree N are combinations of the C(2N + 3, 3) polynomials ρ^(2j)
 * T_LM, L + 2j ≤ 2N, far fewer than the products.
 *
 * <p>The coefficients of S_nm S_lk = Σ_L g S_LM come from Gauss–Legendre quadrature of S_nm S_lk
 * S_LM, which with 2N + 1 nodes is exact for every one of them; the azimuth's part is trivial. N =
 * 20: 0.4 million numbers, N = 30: 2.6 million. Immutable.
 */
public final class HarmonicProducts {
  private final int degree;
  private final int[] start; // of each pair's coefficients: those of m + k, then of |m − k|
  private final double[] coefficient;

  /**
   * @param degree N of the factors
   */
  public HarmonicProducts(int degree) {
    this.degree = degree;
    int kinds = kind(degree, degree) + 1;
    start = new int[kinds * (kinds + 1) / 2 + 1];
    int[] total = {0};
    forEachPair(
        degree,
        (pair, n, m, l, k) -> {
          start[pair] = total[0];
          total[0] += count(n, l, m + k) + count(n, l, Math.abs(m - k));
        });
    start[start.length - 1] = total[0];
    coefficient = new double[total[0]];
    new Quadrature().fill();
  }

  /** Place of S_nm among all. */
  private static int kind(int n, int m) {
    return n * (n + 1) / 2 + m;
  }

  /** How many L there are for an order. */
  private static int count(int n, int l, int order) {
    return (n + l - Math.max(Math.abs(n - l), order)) / 2 + 1;
  }

  @FunctionalInterface
  private interface Pair {
    void see(int pair, int n, int m, int l, int k);
  }

  /** Every two kinds up to a degree, the second not after the first. */
  private static void forEachPair(int degree, Pair each) {
    int pair = 0;
    for (int n = 0; n <= degree; n++) {
      for (int m = 0; m <= n; m++) {
        int own = kind(n, m);
        int l = 0;
        int k = 0;
        for (int other = 0; other <= own; other++) {
          each.see(pair++, n, m, l, k);
          k = k == l ? 0 : k + 1;
          l = k == 0 ? l + 1 : l;
        }
      }
    }
  }

  /** S_LM at the nodes of the northern half; the integrands are even. */
  private final class Quadrature {
    private final int nodes = degree + 1; // of 2N + 1
    private final double[][] value = new double[kind(2 * degree, 2 * degree) + 1][nodes];
    private final double[] weight = new double[nodes];

    Quadrature() {
      GaussLegendre rule = GaussLegendre.of(2 * degree + 1);
      SolidHarmonics basis = new SolidHarmonics(2 * degree, 1);
      double[] h = new double[basis.count()];
      for (int q = 0; q < nodes; q++) {
        double x = rule.node(q);
        weight[q] = q == degree ? rule.weight(q) : 2 * rule.weight(q);
        basis.evaluate(Math.sqrt((1 - x) * (1 + x)), 0, x, h, 0); // at φ = 0
        for (int n = 0; n <= 2 * degree; n++) {
          for (int m = 0; m <= n; m++) {
            value[kind(n, m)][q] = h[Term.index(n, m, Term.Part.COS)];
          }
        }
      }
    }

    void fill() {
      double[] product = new double[nodes];
      forEachPair(
          degree,
          (pair, n, m, l, k) -> {
            double[] a = value[kind(n, m)];
            double[] b = value[kind(l, k)];
            for (int q = 0; q < nodes; q++) {
              product[q] = weight[q] * a[q] * b[q];
            }
            int at = project(product, n + l, m + k, count(n, l, m + k), start[pair]);
            project(product, n + l, Math.abs(m - k), count(n, l, Math.abs(m - k)), at);
          });
    }

    /** Writes the coefficients of one order from the highest L down; the place after them. */
    private int project(double[] product, int highest, int order, int count, int from) {
      for (int j = 0; j < count; j++) {
        double[] own = value[kind(highest - 2 * j, order)];
        double sum = 0;
        for (int q = 0; q < nodes; q++) {
          sum += product[q] * own[q];
        }
        // ∫ S_LM² over cos θ is 2/(2L + 1), twice that for M > 0.
        coefficient[from + j] = sum * (2 * (highest - 2 * j) + 1) / (order == 0 ? 2 : 4);
      }
      return from + count;
    }
  }

  /** N of the factors. */
  public int degree() {
    return degree;
  }

  /** Zero for every polynomial up to degree 2N: [j][{@link Term#index()} of L, M]. */
  static double[][] table(int degree) {
    double[][] table = new double[degree + 1][];
    for (int j = 0; j <= degree; j++) {
      table[j] = new double[Term.count(2 * (degree - j))];
    }
    return table;
  }

  /**
   * Sums of products from sums of the polynomials: if {@code sums} holds Σ w ρ^(2j) T_LM over some
   * points, the result is Σ w T_a T_b.
   *
   * @param sums as {@link #table} lays them out for this degree or a higher one
   * @param upTo degree of the result, not above {@link #degree()}
   * @return symmetric, (upTo + 1)² rows in the order of {@link Term#index()}
   */
  double[][] products(double[][] sums, int upTo) {
    int size = Term.count(upTo);
    double[][] gram = new double[size][size];
    double[] found = new double[4];
    forEachPair(
        upTo,
        (pair, n, m, l, k) -> {
          int plus = count(n, l, m + k);
          gather(sums, n + l, m + k, start[pair], plus, found, 0);
          int less = Math.abs(m - k);
          gather(sums, n + l, less, start[pair] + plus, count(n, l, less), found, 2);
          double sign = Math.signum(m - k);
          int a = n * n + (m == 0 ? 0 : 2 * m - 1);
          int b = l * l + (k == 0 ? 0 : 2 * k - 1);
          put(gram, a, b, (found[0] + found[2]) / 2);
          if (k > 0) {
            put(gram, a, b + 1, (found[1] - sign * found[3]) / 2);
          }
          if (m > 0) {
            put(gram, a + 1, b, (found[1] + sign * found[3]) / 2);
          }
          if (m > 0 && k > 0) {
            put(gram, a + 1, b + 1, (found[2] - found[0]) / 2);
          }
        });
    return gram;
  }

  private static void put(double[][] gram, int a, int b, double value) {
    gram[a][b] = value;
    gram[b][a] = value;
  }

  /** The sums of one order along its L: cos, sin. */
  private void gather(
      double[][] sums, int highest, int order, int from, int count, double[] found, int at) {
    double cos = 0;
    double sin = 0;
    for (int j = 0; j < count; j++) {
      int l = highest - 2 * j;
      double g = coefficient[from + j];
      int place = l * l + (order == 0 ? 0 : 2 * order - 1);
      cos += g * sums[j][place];
      sin += order == 0 ? 0 : g * sums[j][place + 1];
    }
    found[at] = cos;
    found[at + 1] = sin;
  }

  /**
   * The quadratic form Σ A_ab T_a T_b as a sum of the polynomials.
   *
   * @param matrix A, symmetric, by rows in the order of {@link Term#index()}
   * @param upTo degree of its terms, not above {@link #degree()}
   */
  PolynomialSum quadratic(double[][] matrix, int upTo) {
    double[][] table = table(upTo);
    forEachPair(
        upTo,
        (pair, n, m, l, k) -> {
          int a = n * n + (m == 0 ? 0 : 2 * m - 1);
          int b = l * l + (k == 0 ? 0 : 2 * k - 1);
          boolean sa = m > 0;
          boolean sb = k > 0;
          double cc = matrix[a][b];
          double cs = sb ? matrix[a][b + 1] : 0;
          double sc = sa ? matrix[a + 1][b] : 0;
          double ss = sa && sb ? matrix[a + 1][b + 1] : 0;
          double half = n == l && m == k ? 0.5 : 1; // both orders of two different kinds
          int plus = count(n, l, m + k);
          scatter(table, n + l, m + k, start[pair], plus, half * (cc - ss), half * (sc + cs));
          int less = Math.abs(m - k);
          double sin = half * Math.signum(m - k) * (sc - cs);
          int from = start[pair] + plus;
          scatter(table, n + l, less, from, count(n, l, less), half * (cc + ss), sin);
        });
    return new PolynomialSum(table);
  }

  private void scatter(
      double[][] table, int highest, int order, int from, int count, double cos, double sin) {
    for (int j = 0; j < count; j++) {
      int l = highest - 2 * j;
      double g = coefficient[from + j];
      int place = l * l + (order == 0 ? 0 : 2 * order - 1);
      table[j][place] += g * cos;
      if (order > 0) {
        table[j][place + 1] += g * sin;
      }
    }
  }
}
