package org.fieldwright.core.history;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.fieldwright.core.stability.Estimate;
import org.junit.jupiter.api.Test;

/** Holm's chances and the line, against closed forms and a certified regression. */
class FieldLineTest {

  @Test
  void holmIsHisOwnExample() {
    // by hand: sorted 0.01, 0.02, 0.03, 0.04 → 4·0.01, 3·0.02, max(0.06, 2·0.03), max(0.06, 0.04)
    assertThat(Holm.adjusted(new double[] {0.04, 0.01, 0.03, 0.02}))
        .containsExactly(new double[] {0.06, 0.04, 0.06, 0.06}, within(1e-15));
  }

  @Test
  void theLineIsThatOfTheCertifiedRegression() {
    // NIST StRD, Norris (linear, lower difficulty): y on x, 36 observations, certified to 15 digits
    double[] x = {
      0.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777.0, 558.2, 0.4, 0.6, 775.5,
      666.9, 338.0, 447.5, 11.6, 556.0, 228.1, 995.8, 887.6, 120.2, 0.3, 0.3, 556.8, 339.1, 887.2,
      999.0, 779.0, 11.1, 118.3, 229.2, 669.1, 448.9, 0.5
    };
    double[] y = {
      0.1, 338.8, 118.1, 888.0, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3, 0.1, 778.1,
      668.8, 339.3, 448.9, 10.8, 557.7, 228.3, 998.0, 888.8, 119.6, 0.3, 0.6, 557.6, 339.3, 888.0,
      998.5, 778.9, 10.2, 117.6, 228.9, 668.4, 449.2, 0.2
    };
    double sd = 0.884796396144373; // certified residual standard deviation
    FieldLine line = new FieldLine();
    for (int i = 0; i < x.length; i++) {
      line.add(x[i], y[i], sd * sd, 0);
    }
    Estimate slope = line.slope();
    Estimate start = line.at(0, 0);
    assertThat(slope.value()).isCloseTo(1.00211681802045, within(1e-13));
    assertThat(slope.uncertainty()).isCloseTo(0.429796848199937e-3, within(1e-15));
    assertThat(start.value()).isCloseTo(-0.262323073774029, within(1e-11));
    assertThat(start.uncertainty()).isCloseTo(0.232818234301152, within(1e-12));
  }

  @Test
  void aNewLevelLeavesTheSlope() {
    FieldLine line = new FieldLine();
    line.add(0, 1, 1, 0);
    line.add(1, 3, 1, 0);
    line.add(2, 105, 1, 1);
    line.add(3, 107, 1, 1);
    // by hand: both levels rise by 2; Σ(t − t̄)² = 1/2 + 1/2
    assertThat(line.slope()).isEqualTo(new Estimate(2, 1));
    assertThat(line.at(4, 1).value()).isCloseTo(109, within(1e-12));
  }
}
