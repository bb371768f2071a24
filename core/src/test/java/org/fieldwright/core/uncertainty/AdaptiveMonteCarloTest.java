package org.fieldwright.core.uncertainty;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.SplittableRandom;
import java.util.function.ToDoubleFunction;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** The worked examples of JCGM 101:2008, clause 9; exact values by convolution where they exist. */
class AdaptiveMonteCarloTest {
  private static final long SEED = 101;

  private static AdaptiveMonteCarlo.Outcome run(
      ToDoubleFunction<SplittableRandom> model, double tolerance) {
    AdaptiveMonteCarlo.Draws draws =
        (random, batch) -> {
          for (int i = 0; i < batch.length; i++) {
            batch[i] = model.applyAsDouble(random);
          }
        };
    return new AdaptiveMonteCarlo(SEED, 10_000, 100).run(draws, tolerance);
  }

  private static double rectangle(SplittableRandom random, double halfWidth) {
    return halfWidth * (2 * random.nextDouble() - 1);
  }

  /** 9.2.2: four standard normal quantities. u = 2.0, interval ± 3.92. */
  @Test
  void sumOfNormals() {
    AdaptiveMonteCarlo.Outcome o =
        run(r -> r.nextGaussian() + r.nextGaussian() + r.nextGaussian() + r.nextGaussian(), 0.02);
    assertThat(o.settled()).isTrue();
    assertThat(o.standardUncertainty()).isCloseTo(2, within(0.02));
    assertThat(o.interval().low()).isCloseTo(-3.92, within(0.04));
    assertThat(o.interval().high()).isCloseTo(3.92, within(0.04));
  }

  /** 9.2.3: four rectangular quantities of unit variance. u = 2.0, ± 3.88, not the normal 3.92. */
  @Test
  void sumOfRectangles() {
    double w = Math.sqrt(3);
    AdaptiveMonteCarlo.Outcome o =
        run(r -> rectangle(r, w) + rectangle(r, w) + rectangle(r, w) + rectangle(r, w), 0.01);
    assertThat(o.standardUncertainty()).isCloseTo(2, within(0.01));
    assertThat(o.interval().high()).isCloseTo(3.879, within(0.02));
    assertThat(o.interval().low()).isCloseTo(-3.879, within(0.02));
  }

  /** 9.2.4: one rectangle ten times as wide: ± 17.0, where linear propagation says ± 19.9. */
  @Test
  void oneWideRectangle() {
    double w = Math.sqrt(3);
    AdaptiveMonteCarlo.Outcome o =
        run(r -> rectangle(r, w) + rectangle(r, w) + rectangle(r, w) + rectangle(r, 10 * w), 0.05);
    assertThat(o.standardUncertainty()).isCloseTo(10.149, within(0.05));
    assertThat(o.interval().high()).isCloseTo(17.016, within(0.1));
  }

  /** 9.3: calibration of a mass, with the air's buoyancy. u = 0.0754 mg, [1.084, 1.383] mg. */
  @Test
  void mass() {
    AdaptiveMonteCarlo.Outcome o =
        run(
            r -> {
              double reference = 100_000 + 0.050 * r.nextGaussian(); // mg
              double added = 1.234 + 0.020 * r.nextGaussian(); // mg
              double air = 1.20 + rectangle(r, 0.10); // kg/m³
              double densityOfMass = 8e3 + rectangle(r, 1e3);
              double densityOfReference = 8e3 + rectangle(r, 0.05e3);
              double buoyancy = 1 + (air - 1.2) * (1 / densityOfMass - 1 / densityOfReference);
              return (reference + added) * buoyancy - 100_000;
            },
            0.001);
    assertThat(o.settled()).isTrue();
    assertThat(o.mean()).isCloseTo(1.234, within(0.001));
    assertThat(o.standardUncertainty()).isCloseTo(0.07548, within(0.0007));
    assertThat(o.interval().low()).isCloseTo(1.0844, within(0.002));
    assertThat(o.interval().high()).isCloseTo(1.3837, within(0.002));
  }

  /**
   * 9.4: comparison loss δ = x₁² + x₂², u = 0.005 each: mean x² + 2u², from noise alone at x = 0,
   * where linear propagation finds nothing at all (× 10⁻⁶).
   */
  @ParameterizedTest
  @CsvSource({"0, 50, 50.0", "0.010, 150, 111.8", "0.050, 2550, 502.5"})
  void comparisonLoss(double x, double mean, double u) {
    AdaptiveMonteCarlo.Outcome o =
        run(
            r -> {
              double a = x + 0.005 * r.nextGaussian();
              double b = 0.005 * r.nextGaussian();
              return 1e6 * (a * a + b * b);
            },
            0.02 * u);
    assertThat(o.settled()).isTrue();
    assertThat(o.mean()).isCloseTo(mean, within(0.02 * u));
    assertThat(o.standardUncertainty()).isCloseTo(u, within(0.02 * u));
  }

  @Test
  void saysWhenItRanOut() {
    AdaptiveMonteCarlo.Draws draws =
        (random, batch) -> {
          for (int i = 0; i < batch.length; i++) {
            batch[i] = random.nextGaussian();
          }
        };
    AdaptiveMonteCarlo.Outcome o = new AdaptiveMonteCarlo(SEED, 100, 3).run(draws, 1e-6);
    assertThat(o.settled()).isFalse();
    assertThat(o.draws()).isEqualTo(300);
  }

  @Test
  void sameSeedSameAnswer() {
    assertThat(run(SplittableRandom::nextGaussian, 0.01))
        .isEqualTo(run(SplittableRandom::nextGaussian, 0.01));
  }
}
