package org.fieldwright.core.magnetostatics;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import org.fieldwright.core.ReferenceTable;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.Expansion;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Classical systems of loops and rings through the same code that virtual magnets are made of. */
class CoilSystemsTest {
  private static final double PER_MU0 = 1 / Constants.MU_0;

  private static final List<CurrentLoop> HELMHOLTZ =
      List.of(CurrentLoop.coaxial(1, 0.5, PER_MU0), CurrentLoop.coaxial(1, -0.5, PER_MU0));

  private static Expansion zonal(List<CurrentLoop> loops, int degree) {
    Expansion sum = Expansion.zero(degree, 1);
    for (CurrentLoop loop : loops) {
      sum = sum.plus(loop.zonalExpansion(degree, 1));
    }
    return sum;
  }

  /** B0 = 8/(5√5) μ0NI/R and 1 − (144/125)(z/R)⁴ + 1.261568 (z/R)⁶ …, the textbook pair. */
  @Test
  void helmholtzPairHasTheTextbookSeries() {
    Expansion e = zonal(HELMHOLTZ, 12);
    double centre = 8 / (5 * Math.sqrt(5));
    assertThat(e.coefficient(0)).isCloseTo(centre, within(1e-15));
    double[] even = {1, 0, -1.152, 1.261568, -0.3833856, -0.5951717376, 0.90840236032};
    for (int k = 0; k < even.length; k++) {
      int n = 2 * k;
      assertThat(e.coefficient(n * n) / centre).as("order %d", n).isCloseTo(even[k], within(1e-12));
      int odd = n + 1;
      assertThat(e.coefficient(odd * odd)).as("order %d", odd).isCloseTo(0, within(1e-14));
    }
  }

  /** Relative departure from the centre, elliptic integrals in 30-digit arithmetic. */
  @ParameterizedTest
  @CsvSource({
    "0, 0.1, -1.1394232447e-4",
    "0.1, 0, -4.35952734672504e-5",
    "0.1, 0.1, 1.85683353807288e-4",
    "0.2, 0, -7.16683875660483e-4",
    "0.2, 0.2, 2.89435355602784e-3"
  })
  void helmholtzPairOffItsCentre(double rho, double z, double relative) {
    Vec3 p = new Vec3(rho, 0, z);
    double field = 0;
    double centre = 0;
    for (CurrentLoop loop : HELMHOLTZ) {
      field += loop.at(p).z();
      centre += loop.at(Vec3.ZERO).z();
    }
    assertThat(field / centre - 1).isCloseTo(relative, within(1e-14));
  }

  /** (48/49)√(3/7) μ0NI/a² at a separation of √3·a, no cubic, quintic −0.513… */
  @Test
  void maxwellGradientPair() {
    double z = Math.sqrt(3) / 2;
    Expansion e =
        zonal(List.of(CurrentLoop.coaxial(1, z, PER_MU0), CurrentLoop.coaxial(1, -z, -PER_MU0)), 5);
    double gradient = 48.0 / 49 * Math.sqrt(3.0 / 7);
    assertThat(e.coefficient(1)).isCloseTo(gradient, within(1e-15));
    assertThat(e.coefficient(9)).isCloseTo(0, within(1e-15));
    assertThat(e.coefficient(25) / gradient).isCloseTo(-0.513119533527697, within(1e-12));
  }

  /** Loops on a sphere at Gauss–Lobatto nodes: the first order left is 2N. */
  @Test
  void sphereSystemsLeaveTheirTabulatedFirstError() {
    Map<Integer, Expansion> systems = new HashMap<>();
    List<double[]> table = ReferenceTable.rows("/magnetostatics/sphere-systems.csv");
    for (double[] row : table) {
      double u = row[1];
      Expansion loop =
          CurrentLoop.coaxial(Math.sqrt(1 - u * u), u, row[2] * PER_MU0).zonalExpansion(16, 1);
      systems.merge((int) row[0], loop, Expansion::plus);
    }
    assertThat(systems).hasSize(6);
    for (double[] row : table) {
      Expansion e = Objects.requireNonNull(systems.get((int) row[0]));
      int first = (int) row[3];
      for (int n = 1; n < first; n++) {
        assertThat(e.coefficient(n * n) / e.coefficient(0))
            .as("%d loops, order %d", (int) row[0], n)
            .isCloseTo(0, within(1e-12));
      }
      assertThat(e.coefficient(first * first) / e.coefficient(0))
          .as("%d loops, order %d", (int) row[0], first)
          .isCloseTo(row[4], within(1e-11));
    }
  }

  /** Four loops of one radius; heights and ratio of the classical system. */
  @Test
  void fourLoopsOfEqualRadius() {
    double ratio = 2.260443446482152;
    double inner = 0.2431859770742156;
    double outer = 0.9407328926479478;
    Expansion e =
        zonal(
            List.of(
                CurrentLoop.coaxial(1, inner, PER_MU0),
                CurrentLoop.coaxial(1, -inner, PER_MU0),
                CurrentLoop.coaxial(1, outer, ratio * PER_MU0),
                CurrentLoop.coaxial(1, -outer, ratio * PER_MU0)),
            8);
    for (int n = 1; n <= 7; n++) {
      assertThat(e.coefficient(n * n)).as("order %d", n).isCloseTo(0, within(1e-13));
    }
    assertThat(e.coefficient(64) / e.coefficient(0)).isCloseTo(-0.561583151433117, within(1e-12));
  }

  @Test
  void ringOfIronEqualsTheTable() {
    Expansion e = new IronRing(0.5, 0.2, 4 * Math.PI).zonalExpansion(8, 1);
    for (double[] row : ReferenceTable.rows("/magnetostatics/ring-zonal.csv")) {
      int n = (int) row[0];
      assertThat(e.coefficient(n * n))
          .as("order %d", n)
          .isCloseTo(row[1], within(1e-13 * Math.abs(row[1])));
    }
  }

  @Test
  void nullsOfRingsAndLoopsEqualTheTables() {
    for (double[] row : ReferenceTable.rows("/magnetostatics/ring-zonal-nulls.csv")) {
      assertThat(ZonalNulls.ofIronRing((int) row[0])).satisfies(heights -> holds(heights, row[1]));
    }
    for (double[] row : ReferenceTable.rows("/magnetostatics/loop-zonal-nulls.csv")) {
      assertThat(ZonalNulls.ofLoop((int) row[0])).satisfies(heights -> holds(heights, row[1]));
    }
    assertThat(ZonalNulls.ofIronRing(3)).hasSize(3).startsWith(0);
    assertThat(ZonalNulls.ofLoop(2)).hasSize(1);
    assertThat(ZonalNulls.ofLoop(3)).hasSize(2).startsWith(0);
  }

  private static void holds(double[] heights, double expected) {
    double nearest = Double.POSITIVE_INFINITY;
    for (double height : heights) {
      nearest = Math.min(nearest, Math.abs(height - expected));
    }
    assertThat(nearest).as("a null at %s", expected).isLessThan(1e-10);
  }
}
