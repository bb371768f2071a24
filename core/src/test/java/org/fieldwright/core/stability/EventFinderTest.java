package org.fieldwright.core.stability;

import static java.util.Objects.requireNonNull;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.Random;
import org.fieldwright.core.BadInput;
import org.junit.jupiter.api.Test;

/** What happens in a log is found, named and kept out of the slope. */
class EventFinderTest {
  private static final double HOUR = Logs.HOUR;

  private final Random random = new Random(77);

  private double noise() {
    return 0.02 * random.nextGaussian();
  }

  private static StabilityReport analysed(FieldLog log) {
    return StabilityAnalysis.of(log, Logs.NOMINAL, List.of(), null);
  }

  private static List<LogEvent> events(StabilityReport report, LogEvent.Kind kind) {
    return report.events().stream().filter(e -> e.kind() == kind).toList();
  }

  /** A day at one a second with one of each; the slope stays right. */
  @Test
  void oneOfEachIsFoundAndNamed() {
    StabilityReport report = analysed(Logs.of(86_400, 1, this::eventfulDay));
    assertThat(report.events())
        .extracting(LogEvent::kind)
        .containsExactly(
            LogEvent.Kind.LIFT_LIKE,
            LogEvent.Kind.SPIKE,
            LogEvent.Kind.STEP,
            LogEvent.Kind.LOST_LOCK,
            LogEvent.Kind.TRAIN_LIKE,
            LogEvent.Kind.TRAIN_LIKE);
    LogEvent lift = report.events().get(0);
    assertThat(lift.start()).isCloseTo(20_000, within(20.0));
    assertThat(lift.end()).isCloseTo(20_120, within(20.0));
    LogEvent step = report.events().get(2);
    assertThat(step.end()).isCloseTo(40_000, within(3.0));
    assertThat(step.sizePpm()).isCloseTo(0.15, within(0.002));
    LogEvent lost = report.events().get(3);
    assertThat(lost.lastSample() - lost.firstSample() + 1).isEqualTo(10);
    Estimate slope = requireNonNull(report.slope());
    assertThat(slope.value()).isCloseTo(0.01, within(4 * slope.uncertainty()));
    assertThat(slope.uncertainty()).isLessThan(5e-5);
  }

  private double eventfulDay(double t) {
    double v = 0.01 * t / HOUR + noise() + (t >= 40_000 ? 0.15 : 0);
    v += t >= 20_000 && t < 20_120 ? 0.4 : 0;
    v += t >= 60_000 && t < 60_060 ? 0.5 * Math.sin(2 * Math.PI * (t - 60_000) / 60) : 0;
    v += 0.5 * Math.exp(-Math.pow((t - 70_045) / 15, 2));
    v += t == 30_000 ? 3 : 0;
    return t >= 50_000 && t < 50_010 ? Double.NaN : v;
  }

  @Test
  void gapsAreNoSteps() {
    FieldLog.Builder builder = new FieldLog.Builder();
    for (int i = 0; i < 2000; i++) {
      long t = i * 60L + (i >= 1000 ? 20_000 : 0);
      builder.add(t, 0, Logs.NOMINAL * (1 + 1e-6 * (0.05 * t / HOUR + noise())));
    }
    StabilityReport report = analysed(builder.build());
    assertThat(report.events()).extracting(LogEvent::kind).containsExactly(LogEvent.Kind.GAP);
    assertThat(report.events().get(0).duration()).isEqualTo(20_060);
    Estimate slope = requireNonNull(report.slope());
    assertThat(slope.value()).isCloseTo(0.05, within(4 * slope.uncertainty()));
  }

  @Test
  void aChangedProbeIsAStepOfItsOwnKind() {
    FieldLog.Builder builder = new FieldLog.Builder();
    for (int i = 0; i < 1500; i++) {
      double ppm = 0.05 * i * 60 / HOUR + noise() + (i >= 700 ? 0.03 : 0);
      builder.add(
          i * 60L,
          0,
          Logs.NOMINAL * (1 + 1e-6 * ppm),
          i >= 700 ? 2 : 1,
          Double.NaN,
          Double.NaN,
          Double.NaN);
    }
    StabilityReport report = analysed(builder.build());
    List<LogEvent> changes = events(report, LogEvent.Kind.PROBE_CHANGE);
    assertThat(changes).hasSize(1);
    assertThat(changes.get(0).lastSample()).isEqualTo(700);
    assertThat(changes.get(0).sizePpm()).isCloseTo(0.03, within(0.01));
    assertThat(events(report, LogEvent.Kind.STEP)).isEmpty();
  }

  @Test
  void severalProbesInTurnAreRefused() {
    FieldLog.Builder builder = new FieldLog.Builder();
    for (int i = 0; i < 200; i++) {
      builder.add(i, 0, Logs.NOMINAL, 1 + i % 4, Double.NaN, Double.NaN, Double.NaN);
    }
    assertThatThrownBy(() -> analysed(builder.build()))
        .isInstanceOf(BadInput.class)
        .hasMessageContaining("name it with --probe");
  }

  @Test
  void aQuenchEndsTheLog() {
    StabilityReport report =
        analysed(
            Logs.of(
                2000,
                10,
                t ->
                    t < 15_000
                        ? 0.05 * t / HOUR + noise()
                        : -1e6 * (1 - 0.02 - Math.exp(-(t - 15_000) / 20))));
    List<LogEvent> quench = events(report, LogEvent.Kind.QUENCH);
    assertThat(quench).hasSize(1);
    assertThat(quench.get(0).end()).isBetween(15_000.0, 15_030.0);
    assertThat(report.used()).isLessThanOrEqualTo(1501);
    Estimate slope = requireNonNull(report.slope());
    assertThat(slope.value()).isCloseTo(0.05, within(4 * slope.uncertainty()));
  }

  /** Slow noise and decays must not pass for steps. */
  @Test
  void quietLogsHaveNoSteps() {
    for (int run = 0; run < 5; run++) {
      double[] walk = PowerLawNoise.of(NoiseType.RANDOM_WALK, 3000, random);
      double[] flicker = PowerLawNoise.of(NoiseType.FLICKER, 3000, random);
      FieldLog log =
          Logs.of(
              3000,
              60,
              t ->
                  3 * Math.exp(-t / HOUR)
                      + 0.002 * walk[(int) (t / 60)]
                      + 0.01 * flicker[(int) (t / 60)]
                      + noise());
      StabilityReport report = analysed(log);
      assertThat(events(report, LogEvent.Kind.STEP)).as("run %d of seed 77", run).isEmpty();
      assertThat(events(report, LogEvent.Kind.QUENCH)).isEmpty();
    }
  }

  /** A reader of 1 Hz steps at 23.4 MHz (0.043 ppm) that mostly repeats itself. */
  @Test
  void roundedReadingsAreNoEvents() {
    double step = 1e6 / 23.4e6;
    StabilityReport report =
        analysed(
            Logs.of(3000, 60, t -> step * Math.round(0.01 * t / HOUR / step + noise() / 3 / step)));
    assertThat(report.events()).isEmpty();
    Estimate slope = requireNonNull(report.slope());
    assertThat(slope.value()).isCloseTo(0.01, within(4 * slope.uncertainty()));
  }

  /** A probe that reads twice only leaves no level behind, and the slope must not suffer. */
  @Test
  void aProbeTriedForTwoSamplesDoesNoHarm() {
    FieldLog.Builder builder = new FieldLog.Builder();
    for (int i = 0; i < 900; i++) {
      int probe = i < 400 ? 1 : i < 402 ? 7 : 2;
      double offset = probe == 7 ? 9 : probe == 2 ? 0.2 : 0;
      double ppm = 0.05 * i * 60 / HOUR + offset + noise();
      builder.add(
          i * 60L, 0, Logs.NOMINAL * (1 + 1e-6 * ppm), probe, Double.NaN, Double.NaN, Double.NaN);
    }
    StabilityReport report = analysed(builder.build());
    Estimate slope = requireNonNull(report.slope());
    assertThat(slope.value()).isCloseTo(0.05, within(4 * slope.uncertainty()));
    assertThat(slope.uncertainty()).isLessThan(1e-3);
  }

  /** Random logs of every kind of trouble at once: an answer in finite numbers, or none. */
  @Test
  void oddLogsHaveFiniteAnswers() {
    for (int seed = 0; seed < 12; seed++) {
      FieldLog log = odd(new Random(seed));
      StabilityReport report = StabilityAnalysis.of(log, null, List.of(), null);
      if (report.drift() != null) {
        assertThat(report.drift().value()).as("seed %d", seed).isFinite();
        assertThat(report.drift().uncertainty()).as("seed %d", seed).isFinite();
      }
    }
  }

  private static FieldLog odd(Random random) {
    int samples = 5 + random.nextInt(400);
    double interval = Math.exp(6 * random.nextDouble());
    double lost = random.nextInt(3) == 0 ? random.nextDouble() : 0;
    double settling = random.nextInt(2) * Math.exp(3 * random.nextGaussian());
    boolean warm = random.nextBoolean();
    boolean ramped = random.nextInt(4) == 0;
    FieldLog.Builder builder = new FieldLog.Builder().add(0, 0, Logs.NOMINAL);
    double t = 0;
    double walk = 0;
    for (int i = 1; i < samples; i++) {
      t += interval * (random.nextInt(40) == 0 ? 500 : 0.5 + random.nextDouble());
      walk += random.nextInt(60) == 0 ? random.nextGaussian() : 0;
      double ppm = walk + settling * Math.exp(-5.0 * i / samples) + 0.02 * random.nextGaussian();
      double current = ramped ? 100 + Math.min(50, 100.0 * i / samples) : Double.NaN;
      double field = Logs.NOMINAL * (1 + 1e-6 * ppm) * (ramped ? current / 150 : 1);
      builder.add(
          (long) t,
          (int) Math.min(999_999_999, (t - Math.floor(t)) * 1e9),
          random.nextDouble() < lost ? Double.NaN : field,
          1 + 3 * i / samples,
          current,
          warm && random.nextInt(9) > 0 ? 20 + Math.sin(t / 5000) : Double.NaN,
          Double.NaN);
    }
    return builder.build();
  }
}
