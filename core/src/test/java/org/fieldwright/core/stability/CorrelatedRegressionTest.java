package org.fieldwright.core.stability;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Random;
import org.fieldwright.core.Vectors;
import org.hipparchus.distribution.continuous.TDistribution;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Coverage by simulation: how often the stated 95 % interval of the slope holds the true slope. */
class CorrelatedRegressionTest {
  private static final int SAMPLES = 960;
  private static final double TRUE_SLOPE = 0.001;

  @Tag("slow")
  @ParameterizedTest
  @CsvSource({
    "1, 0, 0, 0.94, 0.99",
    "0, 1, 0, 0.94, 0.99",
    "0, 0, 1, 0.91, 0.98",
    "1, 0.3, 0.003, 0.94, 0.99",
    "0, 1, 0.05, 0.92, 0.98",
    // Slow noise that the log is too short to show: the prior decides, and not in favour.
    "1, 0.1, 0, 0.87, 0.97",
    "1, 0, 0.01, 0.65, 0.90"
  })
  void ninetyFivePercentHoldTheTruth(
      double white, double flicker, double walk, double least, double most) {
    Study study = new Study(1000, 96, white, flicker, walk, 20261125);
    assertThat(study.coverage()).as(study.toString()).isBetween(least, most);
  }

  /** The same in small: 80 logs each, so that the expected 95 % may scatter by ± 2.4 %. */
  @ParameterizedTest
  @CsvSource({"1, 0, 0", "0, 1, 0", "0, 0, 1"})
  void fewLogsOfPureNoiseAreCovered(double white, double flicker, double walk) {
    Study study = new Study(80, 48, white, flicker, walk, 4);
    assertThat(study.coverage()).as(study.toString()).isBetween(0.9, 1.0);
  }

  /**
   * White noise σ, n equally spaced readings over T: the slope's standard deviation is σ√12/(T√n).
   * The estimate must scatter by that (100 logs know it to 7 %), and the stated uncertainty may
   * exceed it only by what the log cannot exclude of slow noise.
   */
  @Test
  void whiteNoiseGivesTheTextbookSlope() {
    Study study = new Study(100, 96, 1, 0, 0, 9);
    double expected = Math.sqrt(12.0 / SAMPLES) / SAMPLES;
    assertThat(study.scatter()).as(study.toString()).isBetween(0.8 * expected, 1.2 * expected);
    assertThat(study.medianUncertainty())
        .as(study.toString())
        .isBetween(0.9 * expected, 1.3 * expected);
  }

  /** Many simulated logs of one mixture of noises. */
  private static final class Study {
    private final int runs;
    private final double[] errors;
    private final double[] uncertainties;
    private final String description;
    private double quantile;

    Study(int runs, int blocks, double white, double flicker, double walk, long seed) {
      this.runs = runs;
      errors = new double[runs];
      uncertainties = new double[runs];
      Random random = new Random(seed);
      for (int run = 0; run < runs; run++) {
        double[] y = new double[SAMPLES];
        double[] t = new double[SAMPLES];
        for (int i = 0; i < SAMPLES; i++) {
          t[i] = i;
          y[i] = TRUE_SLOPE * i;
        }
        add(y, white, NoiseType.WHITE, random);
        add(y, flicker, NoiseType.FLICKER, random);
        add(y, walk, NoiseType.RANDOM_WALK, random);
        fit(Blocks.of(t, Series.of(y), 1, new int[0], blocks), run);
      }
      description =
          String.format(
              "seed %d, white %.3f flicker %.3f walk %.3f: coverage %.3f, scatter %.3g, median u %.3g",
              seed, white, flicker, walk, coverage(), scatter(), medianUncertainty());
    }

    private static void add(double[] y, double size, NoiseType type, Random random) {
      if (size > 0) {
        double[] noise = PowerLawNoise.of(type, y.length, random);
        for (int i = 0; i < y.length; i++) {
          y[i] += size * noise[i];
        }
      }
    }

    private void fit(Blocks blocks, int run) {
      double[][] columns = {blocks.column(t -> 1), blocks.column(t -> t - SAMPLES / 2.0)};
      CorrelatedRegression.Fit fit = new CorrelatedRegression(blocks).fit(columns);
      errors[run] = fit.coefficient(1) - TRUE_SLOPE;
      uncertainties[run] = fit.uncertainty(1);
      quantile = new TDistribution(fit.degreesOfFreedom()).inverseCumulativeProbability(0.975);
    }

    double coverage() {
      int held = 0;
      for (int run = 0; run < runs; run++) {
        held += Math.abs(errors[run]) <= quantile * uncertainties[run] ? 1 : 0;
      }
      return (double) held / runs;
    }

    double scatter() {
      return Math.sqrt(Vectors.dot(errors, errors) / runs);
    }

    double medianUncertainty() {
      return Robust.median(uncertainties);
    }

    @Override
    public String toString() {
      return description;
    }
  }
}
