package org.fieldwright.core.stability;

import static java.util.Objects.requireNonNull;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.Random;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.homogeneity.Limit;
import org.fieldwright.core.homogeneity.LimitResult.Verdict;
import org.junit.jupiter.api.Test;

/** Simulated logs whose truth is known; seeds are fixed. */
class StabilityAnalysisTest {
  private static final double HOUR = Logs.HOUR;
  private static final List<Limit> TENTH =
      List.of(new Limit("stability", Limit.Measure.DRIFT, null, 0.1));

  private final Random random = new Random(20261125);

  private double noise(double size) {
    return size * random.nextGaussian();
  }

  private static StabilityReport analysed(FieldLog log) {
    return StabilityAnalysis.of(log, Logs.NOMINAL, TENTH, null);
  }

  private static void within4(Estimate found, double truth) {
    assertThat(found.value()).isCloseTo(truth, within(4 * found.uncertainty()));
  }

  /** 20 ppb, 24 h, one a minute: σ√12/(T√n) = 7.6e-5 ppm/h at best. */
  @Test
  void aDayOfWhiteNoiseFixesTheSlopeAsWellAsItCan() {
    StabilityReport report = analysed(Logs.of(1440, 60, t -> 0.05 * t / HOUR + noise(0.02)));
    Estimate slope = requireNonNull(report.slope());
    within4(slope, 0.05);
    assertThat(slope.uncertainty()).isBetween(0.8 * 7.6e-5, 1.5 * 7.6e-5);
    assertThat(requireNonNull(report.trend()).kind()).isEqualTo(Trend.Kind.LINEAR);
    assertThat(report.events()).isEmpty();
    DriftVerdict verdict = report.limits().get(0);
    assertThat(verdict.verdict()).isEqualTo(Verdict.MET);
    assertThat(verdict.inLimitFrom()).isEqualTo(0.0);
  }

  @Test
  void fallingFieldsAreJudgedByTheirSize() {
    StabilityReport report = analysed(Logs.of(1440, 60, t -> -0.15 * t / HOUR + noise(0.02)));
    DriftVerdict verdict = report.limits().get(0);
    assertThat(verdict.verdict()).isEqualTo(Verdict.NOT_MET);
    assertThat(verdict.valuePpmPerHour()).isCloseTo(0.15, within(1e-3));
    assertThat(verdict.inLimitFrom()).isNull();
  }

  @Test
  void aSettlingMagnetIsKnownByItsTimeConstantAndItsLimitForeseen() {
    StabilityReport report =
        analysed(Logs.of(1440, 60, t -> 9 * Math.exp(-t / (20 * HOUR)) + noise(0.02)));
    Trend trend = requireNonNull(report.trend());
    assertThat(trend.kind()).isEqualTo(Trend.Kind.EXPONENTIAL);
    Trend.Parameter time = trend.parameters().get(2);
    assertThat(time.name()).isEqualTo("time_constant_hours");
    assertThat(time.value()).isCloseTo(20, within(4 * time.uncertainty()));
    DriftVerdict verdict = report.limits().get(0);
    assertThat(verdict.verdict()).isEqualTo(Verdict.NOT_MET);
    // 9/20 e^(−t/20) = 0.1 at t = 20 ln 4.5 h; the guard band adds a little.
    double truth = 20 * Math.log(4.5);
    assertThat(requireNonNull(verdict.inLimitFrom()) / HOUR).isBetween(truth, truth + 0.5);
    StabilityReport.ForecastPoint week = report.forecast().get(2);
    assertThat(week.time()).isCloseTo(endOfDay() + 168 * HOUR, within(1.0));
    within4(week.fieldPpm(), 9 * Math.exp(-week.time() / (20 * HOUR)));
  }

  private static double endOfDay() {
    return 1439 * 60.0;
  }

  @Test
  void twoTimeConstantsAreToldFromOne() {
    StabilityReport report =
        analysed(
            Logs.of(
                4320,
                60,
                t -> 3 * Math.exp(-t / (2 * HOUR)) + 5 * Math.exp(-t / (25 * HOUR)) + noise(0.02)));
    Trend trend = requireNonNull(report.trend());
    assertThat(trend.kind()).isEqualTo(Trend.Kind.TWO_EXPONENTIALS);
    double first = trend.parameters().get(2).value();
    double second = trend.parameters().get(4).value();
    assertThat(Math.min(first, second)).isCloseTo(2, within(0.05));
    assertThat(Math.max(first, second)).isCloseTo(25, within(0.5));
  }

  @Test
  void creepIsKnownAsLogarithmic() {
    StabilityReport report = analysed(Logs.of(4320, 60, t -> -Math.log1p(t / HOUR) + noise(0.02)));
    Trend trend = requireNonNull(report.trend());
    assertThat(trend.kind()).isEqualTo(Trend.Kind.LOGARITHMIC);
    assertThat(trend.parameters().get(1).value()).isCloseTo(-1, within(0.01));
    within4(trend.ratePpmPerHour(40 * HOUR), -1.0 / 41);
  }

  @Test
  void temperatureAndPressureAreFollowedWithTheirDelays() {
    StabilityReport report =
        analysed(
            Logs.of(
                4320,
                60,
                t -> 0.02 * t / HOUR + 0.3 * room(t - 2 * HOUR) - 0.01 * weather(t) + noise(0.02),
                t -> Double.NaN,
                t -> 22 + room(t),
                t -> 1013 + weather(t)));
    Estimate slope = requireNonNull(report.slope());
    within4(slope, 0.02);
    assertThat(slope.uncertainty())
        .isLessThan(0.2 * requireNonNull(report.slopeAsMeasured()).uncertainty());
    assertThat(report.surroundings()).hasSize(2);
    Surroundings temperature = report.surroundings().get(0);
    within4(temperature.perUnit(), 0.3);
    assertThat(temperature.delay().value()).isCloseTo(2 * HOUR, within(180.0));
    Surroundings pressure = report.surroundings().get(1);
    within4(pressure.perUnit(), -0.01);
    assertThat(pressure.delay().value()).isLessThan(600);
    // The forecast is for the log's mean surroundings: room 22 °C, weather a little off 1013 hPa.
    StabilityReport.ForecastPoint day = report.forecast().get(1);
    double weather = 0;
    for (int i = 0; i < 4320; i++) {
      weather += weather(60.0 * i) / 4320;
    }
    assertThat(day.fieldPpm().value())
        .isCloseTo(0.02 * day.time() / HOUR - 0.01 * weather, within(0.02));
  }

  private static double room(double t) {
    return 2 * Math.sin(2 * Math.PI * t / (24 * HOUR));
  }

  private static double weather(double t) {
    return 12 * Math.sin(2 * Math.PI * t / (57 * HOUR))
        + 3 * Math.cos(2 * Math.PI * t / (17 * HOUR));
  }

  @Test
  void aQuietRoomLeavesTheSlopeAlone() {
    StabilityReport report =
        analysed(
            Logs.of(
                1440,
                60,
                t -> 0.02 * t / HOUR + noise(0.02),
                t -> Double.NaN,
                t -> 22 + noise(0.1),
                t -> Double.NaN));
    assertThat(report.surroundings()).isEmpty();
    assertThat(report.slopeAsMeasured()).isNull();
  }

  @Test
  void aRampGivesFieldPerAmpereAndTimeToTarget() {
    // 0.44 T at 400 A, 10 A an hour towards 0.55 T.
    StabilityReport report =
        analysed(
            Logs.of(
                600,
                30,
                t -> (0.0011 * (400 + 10 * t / HOUR) / Logs.NOMINAL - 1) * 1e6 + noise(0.1),
                t -> 400 + 10 * t / HOUR,
                t -> Double.NaN,
                t -> Double.NaN));
    Ramp ramp = requireNonNull(report.ramp());
    assertThat(ramp.settled()).isFalse();
    assertThat(ramp.fieldPerAmpere().value()).isCloseTo(0.0011, within(1e-7));
    double reached = 400 + 10 * 599 * 30 / HOUR;
    assertThat(requireNonNull(ramp.hoursToTarget())).isCloseTo((500 - reached) / 10, within(0.01));
    assertThat(report.trend()).isNull();
    assertThat(report.limits().get(0).verdict()).isEqualTo(Verdict.NOT_ASSESSED);
  }

  @Test
  void afterARampTheSteadyPartIsJudged() {
    StabilityReport report =
        analysed(
            Logs.of(
                1200,
                60,
                t -> (ampere(t) / 500 - 1) * 1e6 + 0.04 * t / HOUR + noise(0.02),
                StabilityAnalysisTest::ampere,
                t -> Double.NaN,
                t -> Double.NaN));
    Ramp ramp = requireNonNull(report.ramp());
    assertThat(ramp.settled()).isTrue();
    assertThat(ramp.hoursToTarget()).isNull();
    within4(requireNonNull(report.drift()), 0.04);
    assertThat(report.limits().get(0).verdict()).isEqualTo(Verdict.MET);
  }

  private static double ampere(double t) {
    return Math.min(500, 450 + 50 * t / (2 * HOUR));
  }

  @Test
  void aLogTooShortForATrendSaysSo() {
    StabilityReport report = analysed(Logs.of(4, 60, t -> t));
    assertThat(report.trend()).isNull();
    assertThat(report.limits().get(0).verdict()).isEqualTo(Verdict.NOT_ASSESSED);
    assertThat(report.warnings()).anyMatch(w -> w.contains("too few for a trend"));
  }

  @Test
  void fewSamplesAreEnoughForASlope() {
    StabilityReport report = analysed(Logs.of(12, 600, t -> 0.05 * t / HOUR + noise(0.001)));
    within4(requireNonNull(report.slope()), 0.05);
  }

  @Test
  void aConstantLogHasNoDriftAndNoFault() {
    StabilityReport report = analysed(Logs.of(500, 60, t -> 3));
    assertThat(requireNonNull(report.slope()).value()).isCloseTo(0, within(1e-9));
    assertThat(report.events()).isEmpty();
    assertThat(report.limits().get(0).verdict()).isEqualTo(Verdict.MET);
  }

  @Test
  void aLogWithoutAnyLockIsRefused() {
    assertThatThrownBy(
            () -> StabilityAnalysis.of(Logs.of(50, 60, t -> Double.NaN), null, TENTH, null))
        .isInstanceOf(BadInput.class)
        .hasMessageContaining("no positive field");
  }
}
