package org.fieldwright.adapters.report.chart;

import static org.assertj.core.api.Assertions.assertThat;

import java.awt.color.ColorSpace;
import org.assertj.core.data.Percentage;
import org.junit.jupiter.api.Test;

class DivergingColoursTest {

  /** ColorBrewer 2.0, RdBu, eleven classes: the first, the sixth and the last. */
  @Test
  void startsEndsAndTurnsAtThePublishedColours() {
    assertThat(DivergingColours.of(1)).isEqualTo("#67001f");
    assertThat(DivergingColours.of(0)).isEqualTo("#f7f7f7");
    assertThat(DivergingColours.of(-1)).isEqualTo("#053061");
    assertThat(DivergingColours.of(7)).isEqualTo("#67001f");
  }

  /**
   * Within 25 %: a step over an anchor cuts its corner (the eighth of the red arm by 23 %), and the
   * colours were spaced for another white than they are measured with.
   */
  @Test
  void equalStepsLookEqualAndDarkenOutwards() {
    for (int arm : new int[] {-1, 1}) {
      double mean = 0;
      for (int k = 0; k < 10; k++) {
        mean += step(arm, k) / 10;
      }
      for (int k = 0; k < 10; k++) {
        assertThat(step(arm, k))
            .as("arm %d, step %d", arm, k)
            .isCloseTo(mean, Percentage.withPercentage(25));
        assertThat(lab(arm * (k + 1) / 10.0)[0]).isLessThan(lab(arm * k / 10.0)[0]);
      }
    }
  }

  private static double step(int arm, int k) {
    return DivergingColours.difference(lab(arm * k / 10.0), lab(arm * (k + 1) / 10.0));
  }

  /** From the printed colour back to L*a*b*, through the JDK's own sRGB profile (D50 white). */
  private static double[] lab(double signed) {
    int rgb = Integer.parseInt(DivergingColours.of(signed).substring(1), 16);
    float[] xyz =
        ColorSpace.getInstance(ColorSpace.CS_sRGB)
            .toCIEXYZ(
                new float[] {
                  (rgb >> 16 & 255) / 255f, (rgb >> 8 & 255) / 255f, (rgb & 255) / 255f
                });
    double x = Math.cbrt(xyz[0] / 0.9642);
    double y = Math.cbrt(xyz[1]);
    double z = Math.cbrt(xyz[2] / 0.8249);
    return new double[] {116 * y - 16, 500 * (x - y), 200 * (y - z)};
  }
}
