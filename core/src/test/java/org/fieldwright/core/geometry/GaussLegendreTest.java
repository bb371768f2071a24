package org.fieldwright.core.geometry;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import org.fieldwright.core.ReferenceTable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class GaussLegendreTest {

  @Test
  void nodesAndWeightsEqualTheTable() {
    List<double[]> table = ReferenceTable.rows("/geometry/gauss-legendre.csv");
    assertThat(table).hasSizeGreaterThan(100);
    int start = 0;
    while (start < table.size()) {
      int count = (int) table.get(start)[0];
      GaussLegendre rule = GaussLegendre.of(count);
      for (int i = 0; i < count; i++) {
        double[] row = table.get(start + count - 1 - i); // the table rises, the rule falls
        assertThat(rule.node(i)).as("node %d of %d", i, count).isCloseTo(row[1], within(5e-16));
        assertThat(rule.weight(i)).as("weight %d of %d", i, count).isCloseTo(row[2], within(2e-15));
      }
      start += count;
    }
  }

  /** ∫ x^(2k) dx over [−1, 1] = 2/(2k + 1), exact up to degree 2N − 1. */
  @ParameterizedTest
  @ValueSource(ints = {1, 2, 3, 60, 200})
  void integratesEveryPowerItPromises(int count) {
    GaussLegendre rule = GaussLegendre.of(count);
    for (int power = 0; power <= 2 * count - 1; power++) {
      double sum = 0;
      for (int i = 0; i < count; i++) {
        sum += rule.weight(i) * Math.pow(rule.node(i), power);
      }
      assertThat(sum)
          .as("power %d with %d nodes", power, count)
          .isCloseTo(power % 2 == 0 ? 2.0 / (power + 1) : 0, within(1e-14));
    }
  }
}
