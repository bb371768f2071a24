package org.fieldwright.core.uncertainty;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import org.fieldwright.core.harmonic.Covariance;
import org.fieldwright.core.harmonic.FieldModel.Share;
import org.fieldwright.core.harmonic.FieldModel.Source;
import org.junit.jupiter.api.Test;

class UncertaintyBudgetTest {

  /**
   * JCGM 100:2008, H.2: resistance and reactance from five simultaneous readings of V, I and φ;
   * correlated means. u(R) = 0.071 Ω, u(X) = 0.296 Ω, u(Z) = 0.236 Ω, r(R, X) = −0.588, r(X, Z) =
   * 0.993.
   */
  @Test
  void correlatedInputsOfH2() {
    double v = 4.999;
    double i = 19.661e-3;
    double phi = 1.04446;
    double[] u = {3.20936131e-3, 9.47100839e-6, 0.752063827e-3};
    double[] r = {1, -0.3553112, 0.8576242, -0.3553112, 1, -0.6451112, 0.8576242, -0.6451112, 1};
    double[] c = new double[9];
    for (int a = 0; a < 9; a++) {
      c[a] = r[a] * u[a / 3] * u[a % 3];
    }
    Covariance covariance = new Covariance(3, c);
    double cos = Math.cos(phi);
    double sin = Math.sin(phi);
    double[] resistance = {cos / i, -v * cos / (i * i), -v * sin / i};
    double[] reactance = {sin / i, -v * sin / (i * i), v * cos / i};
    double[] impedance = {1 / i, -v / (i * i), 0};

    double uR = Math.sqrt(covariance.varianceOf(resistance));
    double uX = Math.sqrt(covariance.varianceOf(reactance));
    double uZ = Math.sqrt(covariance.varianceOf(impedance));
    assertThat(uR).isCloseTo(0.0710714, within(1e-6));
    assertThat(uX).isCloseTo(0.2955817, within(1e-6));
    assertThat(uZ).isCloseTo(0.2363361, within(1e-6));
    assertThat(correlation(covariance, resistance, reactance)).isCloseTo(-0.5884298, within(1e-5));
    assertThat(correlation(covariance, reactance, impedance)).isCloseTo(0.9925116, within(1e-5));
  }

  private static double correlation(Covariance c, double[] a, double[] b) {
    double[] sum = new double[a.length];
    for (int k = 0; k < a.length; k++) {
      sum[k] = a[k] + b[k];
    }
    double va = c.varianceOf(a);
    double vb = c.varianceOf(b);
    return (c.varianceOf(sum) - va - vb) / 2 / Math.sqrt(va * vb);
  }

  /**
   * JCGM 100:2008, H.3: correction of a thermometer at 30 °C from the straight line about 20 °C: u
   * = 0.0041 °C with r = −0.930 between intercept and slope.
   */
  @Test
  void lineOfH3At30Degrees() {
    double u1 = 0.0028775978;
    double u2 = 0.0006679388;
    double cross = -0.9304296031 * u1 * u2;
    Covariance c = new Covariance(2, new double[] {u1 * u1, cross, cross, u2 * u2});
    assertThat(Math.sqrt(c.varianceOf(new double[] {1, 10}))).isCloseTo(0.0041385958, within(1e-8));
  }

  /**
   * The components of JCGM 100:2008, H.1 (end gauge, nm): 25, 9.7, 2.9 and 16.6 give u = 32 nm, the
   * standard dominating.
   */
  @Test
  void linesOfH1AddInQuadrature() {
    List<Share> shares =
        List.of(
            share(Source.POSITION, 9.7),
            share(Source.READING, 25),
            share(Source.ANGLE, 2.9),
            share(Source.DRIFT, 16.6));
    double u = Math.sqrt(1002.6);

    UncertaintyBudget budget = UncertaintyBudget.of(shares, new double[] {1}, u);

    assertThat(budget.totalPpm()).isCloseTo(31.7, within(0.05));
    assertThat(budget.dominant()).isEqualTo(Source.READING);
    assertThat(budget.lines())
        .extracting(UncertaintyBudget.Line::source)
        .containsExactly(Source.READING, Source.DRIFT, Source.POSITION, Source.ANGLE);
    assertThat(budget.lines().get(1).uncertaintyPpm()).isCloseTo(16.6, within(0.05));
    // Without three quarters of 25²: √(1002.6 − 468.75).
    assertThat(budget.afterHalvingDominantPpm()).isCloseTo(23.1, within(0.05));
  }

  private static Share share(Source source, double u) {
    return new Share(source, new Covariance(1, new double[] {u * u}));
  }

  @Test
  void nothingUncertainHasNoDominantSource() {
    UncertaintyBudget budget =
        UncertaintyBudget.of(List.of(share(Source.READING, 0)), new double[] {1}, 0);
    assertThat(budget.dominant()).isNull();
    assertThat(budget.totalPpm()).isZero();
  }

  @Test
  void everySourceHasARemedy() {
    for (Source s : Source.values()) {
      assertThat(UncertaintyBudget.remedy(s)).isNotBlank();
    }
  }
}
