package org.fieldwright.core.stability;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Random;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Settling magnets under noise of each colour, simulated: the form is recognised, and the stated 95
 * % intervals of the rate at the end and of the field a day later hold the truth. For slow noise
 * that truth includes what the noise itself did in that day.
 */
class DecayCoverageTest {
  private static final int SAMPLES = 720;
  private static final double INTERVAL = 120;
  private static final double TAU = 12 * Logs.HOUR;
  private static final double DAY = 24 * Logs.HOUR;
  private static final int RUNS = 100;
  private static final double K = 1.99;

  @Tag("slow")
  @ParameterizedTest
  @CsvSource({"WHITE, 0.02", "FLICKER, 0.02", "RANDOM_WALK, 0.003"})
  void rateAndForecastHoldTheTruth(NoiseType type, double size) {
    long seed = 9;
    Random random = new Random(seed);
    int rates = 0;
    int fields = 0;
    int recognised = 0;
    for (int run = 0; run < RUNS; run++) {
      double[] noise = PowerLawNoise.of(type, 2 * SAMPLES, random);
      StabilityReport report =
          StabilityAnalysis.of(
              Logs.of(SAMPLES, INTERVAL, t -> settling(t) + size * noise[(int) (t / INTERVAL)]),
              Logs.NOMINAL,
              List.of(),
              null);
      double end = (SAMPLES - 1) * INTERVAL;
      Trend trend = report.trend();
      recognised += trend != null && trend.kind() == Trend.Kind.EXPONENTIAL ? 1 : 0;
      rates += holds(report.drift(), -settling(end) / TAU * Logs.HOUR) ? 1 : 0;
      double wandered = type == NoiseType.WHITE ? 0 : size * noise[(int) ((end + DAY) / INTERVAL)];
      Estimate later = report.forecast().get(1).fieldPpm();
      fields += holds(later, settling(end + DAY) + wandered) ? 1 : 0;
    }
    String what =
        "seed %d: form %d, rate %d, field %d of %d"
            .formatted(seed, recognised, rates, fields, RUNS);
    assertThat(recognised).as(what).isGreaterThanOrEqualTo(95);
    assertThat(rates).as(what).isGreaterThanOrEqualTo(90);
    assertThat(fields).as(what).isGreaterThanOrEqualTo(90);
  }

  private static double settling(double t) {
    return 9 * Math.exp(-t / TAU);
  }

  private static boolean holds(@Nullable Estimate e, double truth) {
    return e != null && Math.abs(e.value() - truth) <= K * e.uncertainty();
  }
}
