package org.fieldwright.adapters.report.chart;

import static org.assertj.core.api.Assertions.assertThat;

import org.fieldwright.adapters.text.Numerals;
import org.junit.jupiter.api.Test;

class ScaleTest {

  @Test
  void marksRoundValuesOnly() {
    assertThat(Scale.linear(-110, 62, 0, 100).ticks(6).stream().map(t -> t.label(Numerals.ENGLISH)))
        .containsExactly("−100", "−50", "0", "50");
    assertThat(Scale.linear(0, 0.11, 0, 100).ticks(5).stream().map(t -> t.label(Numerals.ENGLISH)))
        .containsExactly("0.000", "0.025", "0.050", "0.075", "0.100");
    assertThat(Scale.log(0.01, 100, 0, 100).ticks(0).stream().map(t -> t.label(Numerals.ENGLISH)))
        .containsExactly("0.01", "0.1", "1", "10", "100");
  }

  @Test
  void mapsBothEndsAndTheMiddle() {
    assertThat(Scale.linear(-1, 3, 200, 0).at(1)).isEqualTo(100);
    assertThat(Scale.log(1, 100, 0, 50).at(10)).isEqualTo(25);
    assertThat(Scale.log(1, 100, 0, 50).clamped(1000)).isEqualTo(50);
  }

  @Test
  void bandsReachTheLargestValueInRoundSteps() {
    assertThat(Scale.roundStep(19.9)).isEqualTo(20);
    assertThat(Scale.roundStep(21)).isEqualTo(25);
    assertThat(Scale.roundStep(0.051)).isEqualTo(0.1);
    assertThat(new ColourBands(20, 10).band(-199)).isEqualTo(-10);
    assertThat(new ColourBands(20, 10).band(19.9)).isEqualTo(0);
    assertThat(new ColourBands(20, 10).band(1e6)).isEqualTo(9);
  }
}
