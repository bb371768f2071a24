package org.fieldwright.core.harmonic;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import org.fieldwright.core.geometry.GaussLegendre;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Forecasts of plans whose answers are closed-form or published with the benchmark problems. */
class SamplingForecastTest {
  private static final double RADIUS = 0.225;

  private static SamplingForecast forecast(int probes, int angles, double startDeg, int wanted) {
    GaussLegendre rule = GaussLegendre.of(probes);
    List<SamplingForecast.ProbePlace> places = new ArrayList<>();
    for (int i = 0; i < probes; i++) {
      places.add(new SamplingForecast.ProbePlace(Math.acos(rule.node(i)), RADIUS));
    }
    return SamplingForecast.of(
        places,
        angles,
        startDeg,
        wanted,
        RADIUS,
        SamplingForecast.typicalField(12, RADIUS, 100),
        new ErrorSources(1.0, null, null, null, null, List.of()));
  }

  /** Problem M1: rms standard deviation of the coefficients per unit of reading noise. */
  @ParameterizedTest
  @CsvSource({"12,24,6,0.192", "12,24,8,0.219", "24,24,8,0.156", "24,24,10,0.173"})
  void noiseReachesTheCoefficientsAsInM1(int probes, int angles, int degree, double expected) {
    SamplingForecast forecast = forecast(probes, angles, 0, degree);
    assertThat(forecast.degree()).isEqualTo(degree);
    int terms = Term.count(degree); // M1 counts the centre field, the forecast does not
    double centre = Math.pow(forecast.model().standardUncertainty(Term.at(0)), 2);
    double others = (terms - 1) * Math.pow(forecast.coefficientUncertaintyPpm(), 2);
    assertThat(Math.sqrt((centre + others) / terms)).isCloseTo(expected, within(6e-4));
    assertThat(forecast.model().condition()).isBetween(1.0, 6.5);
  }

  /** M equal angles: m and M − m alias; of m = M/2 the sine vanishes from 0°. */
  @Test
  void equalAnglesHideAndAlias() {
    SamplingForecast forecast = forecast(24, 16, 0, 20);
    assertThat(forecast.degree()).isLessThanOrEqualTo(8);
    assertThat(forecast.hidden()).contains(new Term(8, 8, Term.Part.SIN));
    assertThat(forecast.hidden()).doesNotContain(new Term(8, 8, Term.Part.COS));
    assertThat(forecast.aliases()).containsEntry(9, 7).containsEntry(15, 1).containsEntry(16, 0);
    // a start offset of a quarter of the step lets neither phase be seen whole, but both in part
    assertThat(forecast(24, 16, 360.0 / 32, 20).hidden()).contains(new Term(8, 8, Term.Part.COS));
  }

  /** What the model cannot hold of the expected field is its terms above the degree. */
  @Test
  void whatIsOmittedIsTheRestOfTheExpectedField() {
    SamplingForecast forecast = forecast(12, 24, 0, 6);
    Expansion expected = SamplingForecast.typicalField(12, RADIUS, 100);
    for (int i = 1; i < Term.count(12); i++) {
      double wanted = Term.at(i).n() <= 6 ? 0 : expected.coefficient(i);
      assertThat(forecast.omitted().coefficient(i)).isEqualTo(wanted);
    }
  }
}
