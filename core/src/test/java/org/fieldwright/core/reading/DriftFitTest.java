package org.fieldwright.core.reading;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;

/**
 * Against the closed form for a common slope through places with means of their own: its standard
 * deviation is σ/√Σ(t − t̄)² (ordinary least squares), and for n equally spaced readings over T of
 * one place σ·√12/(T·√n) in the limit of many (problem S1).
 */
class DriftFitTest {
  private static final double NOISE = 0.02;
  private static final double SLOPE = 0.08;

  private static List<DriftFit.Visits> places(int count, int visits, SplittableRandom random) {
    List<DriftFit.Visits> all = new ArrayList<>();
    for (int p = 0; p < count; p++) {
      double mean = 100 * random.nextGaussian();
      double[] clock = new double[visits];
      double[] value = new double[visits];
      for (int k = 0; k < visits; k++) {
        clock[k] = 0.5 * k + 0.01 * p;
        value[k] = mean + SLOPE * clock[k] + NOISE * random.nextGaussian();
      }
      all.add(new DriftFit.Visits(clock, value));
    }
    return all;
  }

  @Test
  void theUncertaintyIsWhatTheSlopesScatterBy() {
    SplittableRandom random = new SplittableRandom(20261125);
    int places = 24;
    int visits = 3;
    double expected = NOISE / Math.sqrt(places * 0.5); // Σ(t − t̄)² of 0, 0.5, 1 h is 0.5 h²
    double squares = 0;
    double stated = 0;
    int trials = 400;
    for (int i = 0; i < trials; i++) {
      DriftFit fit = Objects.requireNonNull(DriftFit.of(places(places, visits, random), null));
      squares += Math.pow(fit.slope() - SLOPE, 2) / trials;
      stated += fit.slopeUncertainty() / trials;
      assertThat(fit.pairs()).isEqualTo(places * (visits - 1));
    }
    // 400 trials know a standard deviation to 3.5 %; places further than five scales are left out
    assertThat(Math.sqrt(squares)).isCloseTo(expected, within(0.12 * expected));
    assertThat(stated).isCloseTo(expected, within(0.04 * expected));
  }

  @Test
  void manyReadingsOfOnePlaceAreProblemS1() {
    int n = 1440;
    double hours = 24;
    double[] clock = new double[n];
    double[] value = new double[n];
    SplittableRandom random = new SplittableRandom(7);
    for (int i = 0; i < n; i++) {
      clock[i] = hours * i / n;
      value[i] = 0.020 * random.nextGaussian();
    }
    DriftFit fit =
        Objects.requireNonNull(DriftFit.of(List.of(new DriftFit.Visits(clock, value)), null));
    double closed = 0.020 * Math.sqrt(12) / (hours * Math.sqrt(n)); // 7.6e-5 ppm/h
    assertThat(fit.slopeUncertainty()).isCloseTo(closed, within(0.06 * closed));
    assertThat(Math.abs(fit.slope())).isLessThan(4 * closed);
  }

  /** Rises by 0.3 ppm in the first half hour, then stands, as a magnet that cools down. */
  private static List<DriftFit.Visits> bent(SplittableRandom random, double bend) {
    List<DriftFit.Visits> all = new ArrayList<>();
    for (int p = 0; p < 24; p++) {
      double[] clock = new double[3];
      double[] value = new double[3];
      for (int k = 0; k < 3; k++) {
        clock[k] = 0.5 * k + 0.0005 * p;
        value[k] = p + bend * Math.min(clock[k], 0.5) + NOISE * random.nextGaussian();
      }
      all.add(new DriftFit.Visits(clock, value));
    }
    return all;
  }

  /** The difference between two rounds of n places each is known to σ√(2/n). */
  @Test
  void aDriftThatBendsIsFollowedFromVisitToVisit() {
    SplittableRandom random = new SplittableRandom(11);
    int trials = 200;
    double square = 0;
    double stated = 0;
    for (int i = 0; i < trials; i++) {
      DriftFit fit = Objects.requireNonNull(DriftFit.of(bent(random, 0.6), null));
      assertThat(fit.rates()).hasSize(2);
      double first = fit.between(0, 0.5);
      square += Math.pow(first - 0.3, 2) / trials;
      for (DriftFit.Pattern p : fit.errors()) {
        stated += Math.pow(p.at(0.5) - p.at(0), 2) / trials;
      }
      assertThat(fit.between(0.5, 1)).isCloseTo(0, within(0.03));
      assertThat(fit.slope()).isCloseTo(0.3, within(0.03));
    }
    double closed = NOISE * Math.sqrt(2.0 / 24);
    assertThat(Math.sqrt(square)).isCloseTo(closed, within(0.15 * closed));
    assertThat(Math.sqrt(stated)).isCloseTo(closed, within(0.05 * closed));
  }

  /** One in a thousand by its own account. */
  @Test
  void aSteadyDriftIsNotTakenForABentOne() {
    SplittableRandom random = new SplittableRandom(12);
    int bentOnes = 0;
    for (int i = 0; i < 2000; i++) {
      DriftFit fit = Objects.requireNonNull(DriftFit.of(places(24, 3, random), null));
      bentOnes += fit.rates().length > 0 ? 1 : 0;
    }
    assertThat(bentOnes).isBetween(0, 9); // Poisson of mean 2: 9 or fewer but for 5e-5
  }
}
