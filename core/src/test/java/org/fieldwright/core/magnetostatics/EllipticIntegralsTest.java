package org.fieldwright.core.magnetostatics;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.fieldwright.core.ReferenceTable;
import org.fieldwright.core.geometry.GaussLegendre;
import org.junit.jupiter.api.Test;

class EllipticIntegralsTest {

  @Test
  void completeIntegralsEqualTheTable() {
    for (double[] row : ReferenceTable.rows("/magnetostatics/elliptic.csv")) {
      assertThat(EllipticIntegrals.completeK(row[0])).isCloseTo(row[1], within(1e-15 * row[1]));
      assertThat(EllipticIntegrals.completeE(row[0])).isCloseTo(row[2], within(1e-15 * row[2]));
    }
  }

  /** The general integral against quadrature of its definition. */
  @Test
  void generalIntegralEqualsItsDefinition() {
    double kc = 0.3;
    double p = 0.7;
    GaussLegendre rule = GaussLegendre.of(80);
    double sum = 0;
    for (int i = 0; i < rule.size(); i++) {
      double phi = Math.PI / 4 * (1 + rule.node(i));
      double c2 = Math.cos(phi) * Math.cos(phi);
      double s2 = 1 - c2;
      sum +=
          rule.weight(i)
              * Math.PI
              / 4
              * (1.3 * c2 - 0.4 * s2)
              / (c2 + p * s2)
              / Math.sqrt(c2 + kc * kc * s2);
    }
    assertThat(EllipticIntegrals.cel(kc, p, 1.3, -0.4)).isCloseTo(sum, within(1e-13));
  }
}
