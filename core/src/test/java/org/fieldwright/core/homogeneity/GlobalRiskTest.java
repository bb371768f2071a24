package org.fieldwright.core.homogeneity;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.SplittableRandom;
import org.fieldwright.core.geometry.Volume;
import org.fieldwright.core.homogeneity.GlobalRisk.Prior;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class GlobalRiskTest {

  /**
   * Limit at the mean, no guard band: the two errors are the quadrants of a bivariate normal
   * distribution with opposite signs, 1/4 − arcsin(ρ)/2π (W. F. Sheppard, 1899), with ρ the
   * correlation of true and measured value.
   */
  @ParameterizedTest
  @CsvSource({"3, 1", "1, 3", "2, 2", "5, 0.01"})
  void quadrantsOfTheBivariateNormal(double deviation, double u) {
    double rho = deviation / Math.hypot(deviation, u);
    double quadrant = 0.25 - Math.asin(rho) / (2 * Math.PI);
    GlobalRisk risk = GlobalRisk.of(new Prior(14, deviation), u, upper(14), 0);
    assertThat(risk.consumer()).isCloseTo(quadrant, within(1e-12));
    assertThat(risk.producer()).isCloseTo(quadrant, within(1e-12));
    assertThat(risk.undecided()).isCloseTo(0, within(1e-12));
  }

  /** Drawn: a million magnets, each measured once and decided by the rule itself; seed fixed. */
  @Test
  void asOftenAsDrawn() {
    Prior prior = new Prior(17, 4);
    double u = 1.5;
    double limit = 20;
    SplittableRandom random = new SplittableRandom(20261126);
    int draws = 1_000_000;
    int consumer = 0;
    int producer = 0;
    int undecided = 0;
    for (int i = 0; i < draws; i++) {
      double value = prior.mean() + prior.deviation() * random.nextGaussian();
      double measured = value + u * random.nextGaussian();
      LimitResult.Verdict verdict = GuardedAcceptance.decide(measured, u, limit);
      consumer += verdict == LimitResult.Verdict.MET && value > limit ? 1 : 0;
      producer += verdict == LimitResult.Verdict.NOT_MET && value <= limit ? 1 : 0;
      undecided += verdict == LimitResult.Verdict.UNDECIDED ? 1 : 0;
    }
    GlobalRisk risk = GlobalRisk.of(prior, u, upper(limit), GuardedAcceptance.DEFAULT_K);
    double n = draws;
    // five standard deviations of the count
    assertThat(consumer / n).isCloseTo(risk.consumer(), within(5 * Math.sqrt(consumer) / n));
    assertThat(producer / n).isCloseTo(risk.producer(), within(5 * Math.sqrt(producer) / n));
    assertThat(undecided / n).isCloseTo(risk.undecided(), within(5 * Math.sqrt(undecided) / n));
  }

  /**
   * Drift, either way: drawn as above, decided by its size as the log's verdict is; the prior sits
   * so that one-sided risks would be off by a third and more.
   */
  @Test
  void driftCountsOnBothSides() {
    Prior prior = new Prior(-0.06, 0.05);
    double u = 0.03;
    Limit limit = new Limit("drift", Limit.Measure.DRIFT, null, 0.1);
    SplittableRandom random = new SplittableRandom(20261127);
    int draws = 1_000_000;
    int consumer = 0;
    int producer = 0;
    int undecided = 0;
    for (int i = 0; i < draws; i++) {
      double value = prior.mean() + prior.deviation() * random.nextGaussian();
      double measured = Math.abs(value + u * random.nextGaussian());
      LimitResult.Verdict verdict = GuardedAcceptance.decide(measured, u, limit.limit());
      boolean within = Math.abs(value) <= limit.limit();
      consumer += verdict == LimitResult.Verdict.MET && !within ? 1 : 0;
      producer += verdict == LimitResult.Verdict.NOT_MET && within ? 1 : 0;
      undecided += verdict == LimitResult.Verdict.UNDECIDED ? 1 : 0;
    }
    GlobalRisk risk = GlobalRisk.of(prior, u, limit, GuardedAcceptance.DEFAULT_K);
    double n = draws;
    assertThat(consumer / n).isCloseTo(risk.consumer(), within(5 * Math.sqrt(consumer) / n));
    assertThat(producer / n).isCloseTo(risk.producer(), within(5 * Math.sqrt(producer) / n));
    assertThat(undecided / n).isCloseTo(risk.undecided(), within(5 * Math.sqrt(undecided) / n));
  }

  /** A guard band wider than the limit accepts nothing. */
  @Test
  void acceptsNothingWhereTheGuardBandsMeet() {
    Limit limit = new Limit("drift", Limit.Measure.DRIFT, null, 0.1);
    GlobalRisk risk = GlobalRisk.of(new Prior(0, 0.05), 0.2, limit, GuardedAcceptance.DEFAULT_K);
    assertThat(risk.consumer()).isZero();
  }

  private static Limit upper(double limit) {
    return new Limit("imaging", Limit.Measure.PEAK_TO_PEAK, new Volume.Sphere(0.2), limit);
  }
}
