package org.fieldwright.core.stability;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;

/** Lines, ramps and noise whose truth is put in. */
class LiveTrendTest {

  @Test
  void aRampAnswersInClosedForm() {
    LiveTrend trend = new LiveTrend(300);
    for (int s = 0; s <= 400; s++) {
      // 0.01 A/s at 5,000 ppm/A: 50 ppm/s, 180,000 ppm/h.
      trend.add(s, 50.0 * s, 90 + 0.01 * s);
    }
    assertThat(trend.ratePpmPerHour().value()).isCloseTo(180_000, within(1e-3));
    assertThat(trend.ppmPerAmpere().value()).isCloseTo(5000, within(1e-3));
    // 20,000 ppm now; 38,000 in 360 s.
    assertThat(trend.hoursTo(38_000).value()).isCloseTo(0.1, within(1e-9));
    assertThat(trend.hoursTo(10_000)).as("behind").isNull();
  }

  @Test
  void onlyTheLastStretchCounts() {
    LiveTrend trend = new LiveTrend(100);
    for (int s = 0; s < 1000; s++) {
      trend.add(s, s < 500 ? s : 500 - (s - 500) / 3600.0, Double.NaN);
    }
    assertThat(trend.ratePpmPerHour().value()).isCloseTo(-1, within(1e-6));
    assertThat(trend.ppmPerAmpere()).as("no current").isNull();
  }

  @Test
  void whatSaysNothingIsLeftOut() {
    LiveTrend trend = new LiveTrend(100);
    trend.add(0, 1, 5);
    trend.add(10, Double.NaN, 5);
    trend.add(20, 1, 5);
    trend.add(20, 900, 5); // the same moment again
    assertThat(trend.ratePpmPerHour()).isNull();
    for (int s = 30; s < 100; s += 10) {
      trend.add(s, 1, 5);
    }
    assertThat(trend.ratePpmPerHour().value()).isCloseTo(0, within(1e-9));
    assertThat(trend.ppmPerAmpere()).as("a current that stands still").isNull();
    assertThat(trend.hoursTo(2)).as("a field that stands still").isNull();
  }

  /** Distances of rate and time to target from the truth, in standard uncertainties. */
  @Test
  void theUncertaintyIsTheScatterAboutTheTruth() {
    SplittableRandom random = new SplittableRandom(41);
    double rates = 0;
    double times = 0;
    int runs = 200;
    for (int run = 0; run < runs; run++) {
      LiveTrend trend = new LiveTrend(600);
      for (int s = 0; s < 600; s += 2) {
        trend.add(s, s / 3600.0 + 0.02 * random.nextGaussian(), Double.NaN); // 1 ppm/h
      }
      Estimate rate = trend.ratePpmPerHour();
      rates += Math.pow((rate.value() - 1) / rate.uncertainty(), 2) / runs;
      Estimate hours = trend.hoursTo(2);
      times += Math.pow((hours.value() - (2 - 598 / 3600.0)) / hours.uncertainty(), 2) / runs;
    }
    // White noise alone: what is allowed for slow noise that is not there makes it smaller than 1.
    assertThat(rates).isBetween(0.4, 1.2);
    assertThat(times).isBetween(0.4, 1.2);
  }
}
