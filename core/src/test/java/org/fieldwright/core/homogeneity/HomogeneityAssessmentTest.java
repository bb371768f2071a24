package org.fieldwright.core.homogeneity;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.Objects;
import java.util.Set;
import java.util.SplittableRandom;
import org.fieldwright.core.geometry.Volume;
import org.fieldwright.core.harmonic.Covariance;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.harmonic.Term;
import org.fieldwright.core.homogeneity.Limit.Measure;
import org.fieldwright.core.homogeneity.LimitResult.Verdict;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

class HomogeneityAssessmentTest {
  private static final Volume SPHERE = new Volume.Sphere(0.2);

  private static FieldModel model(Expansion field, double sd) {
    int size = Term.count(field.degree());
    double[] c = new double[size * size];
    for (int i = 0; i < size; i++) {
      c[i * size + i] = sd * sd;
    }
    return new FieldModel(
        field, 0.55, Set.of(), new Covariance(size, c), List.of(), 3, 0.02, 300, 0.2, "");
  }

  private static LimitResult assess(
      FieldModel model, Measure measure, Volume volume, double limit) {
    return HomogeneityAssessment.assess(model, List.of(new Limit("a", measure, volume, limit)))
        .get(0);
  }

  @Test
  void predictionsAreCertain() {
    Expansion field = RandomFields.of(31, 12, 0.6);
    double peak = SurfaceExtremes.of(field, SPHERE).peakToPeak();
    LimitResult r = assess(model(field, 0), Measure.PEAK_TO_PEAK, SPHERE, peak);

    assertThat(r.valuePpm()).isEqualTo(peak);
    assertThat(r.uncertaintyPpm()).isZero();
    assertThat(r.noiseBiasPpm()).isZero();
    assertThat(r.verdict()).isEqualTo(Verdict.MET);
    assertThat(r.extremes()).hasSize(2);
    assertThat(r.extremes().get(0).ppm() - r.extremes().get(1).ppm()).isEqualTo(peak);
  }

  @Test
  void driftIsLeftToOthers() {
    LimitResult r =
        HomogeneityAssessment.assess(
                model(Expansion.zero(2, 0.2), 0.01),
                List.of(new Limit("stability", Measure.DRIFT, null, 0.1)))
            .get(0);
    assertThat(r.verdict()).isEqualTo(Verdict.NOT_ASSESSED);
    assertThat(r.valuePpm()).isNull();
  }

  /** The contract: beyond 1.001 × the largest radius used. */
  @Test
  void saysWhenItExtrapolates() {
    FieldModel m = model(RandomFields.of(32, 4, 0.6), 0.01);
    assertThat(assess(m, Measure.VOLUME_RMS, new Volume.Sphere(0.2001), 1).extrapolated())
        .isFalse();
    assertThat(assess(m, Measure.VOLUME_RMS, new Volume.Sphere(0.2003), 1).extrapolated()).isTrue();
    assertThat(assess(m, Measure.PEAK_TO_PEAK, new Volume.Cylinder(0.15, 0.14), 1).extrapolated())
        .isTrue();
  }

  /** Z alone: peak-to-peak 2|a|, so u = 2 u(a) exactly, and noise in Z alone has no bias. */
  @Test
  void gradientHasTwiceItsUncertainty() {
    FieldModel m =
        new FieldModel(
            new Expansion(0.2, new double[] {0, 10, 0, 0}),
            0.55,
            Set.of(),
            new Covariance(4, new double[] {0, 0, 0, 0, 0, 4e-4, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0}),
            List.of(),
            1,
            0.02,
            10,
            0.2,
            "");
    LimitResult r = assess(m, Measure.PEAK_TO_PEAK, SPHERE, 25);
    assertThat(r.uncertaintyPpm()).isCloseTo(0.04, within(1e-12));
    assertThat(r.noiseBiasPpm()).isCloseTo(0, within(0.01));
  }

  /** Surveys drawn about a known field: the values must scatter as stated, and not be biased. */
  @ParameterizedTest
  @EnumSource(names = {"SURFACE_RMS", "VOLUME_RMS", "PEAK_TO_PEAK"})
  void uncertaintyMatchesScatter(Measure measure) {
    long seed = 33;
    double sd = 0.05;
    // Where peak-to-peak is as good as linear; where it is not, see IntervalCoverageTest.
    double size = measure == Measure.PEAK_TO_PEAK ? 1 : 0.02;
    Expansion truth = RandomFields.of(seed, 6, 0.5).times(size);
    double exact =
        measure == Measure.PEAK_TO_PEAK
            ? SurfaceExtremes.of(truth, SPHERE).peakToPeak()
            : Rms.of(truth, SPHERE, measure);
    SplittableRandom random = new SplittableRandom(seed);
    int surveys = 150;
    double sum = 0;
    double squares = 0;
    double stated = 0;
    double bias = 0;
    for (int i = 0; i < surveys; i++) {
      double[] c = truth.coefficients();
      for (int k = 1; k < c.length; k++) {
        c[k] += sd * random.nextGaussian();
      }
      LimitResult r = assess(model(new Expansion(0.2, c), sd), measure, SPHERE, 1);
      double error = value(r.valuePpm()) - exact;
      sum += error;
      squares += error * error;
      stated += value(r.uncertaintyPpm()) / surveys;
      bias += value(r.noiseBiasPpm()) / surveys;
    }
    double mean = sum / surveys;
    double scatter = Math.sqrt(squares / surveys - mean * mean);
    assertThat(stated).as("seed %d", seed).isCloseTo(scatter, within(0.2 * scatter));
    assertThat(Math.abs(mean)).isLessThan(4 * scatter / Math.sqrt(surveys));
    if (measure != Measure.PEAK_TO_PEAK) {
      assertThat(bias).isPositive();
    }
  }

  private static double value(@Nullable Double boxed) {
    return Objects.requireNonNull(boxed);
  }

  /** Nothing but noise: the corrected RMS must not claim the noise as inhomogeneity. */
  @Test
  void noiseAloneIsNearZero() {
    SplittableRandom random = new SplittableRandom(34);
    double[] c = new double[Term.count(8)];
    for (int k = 1; k < c.length; k++) {
      c[k] = 0.02 * random.nextGaussian();
    }
    LimitResult r = assess(model(new Expansion(0.2, c), 0.02), Measure.VOLUME_RMS, SPHERE, 0.1);
    double plain = Rms.of(new Expansion(0.2, c), SPHERE, Measure.VOLUME_RMS);
    assertThat(r.valuePpm()).isLessThan(0.7 * plain);
    assertThat(r.uncertaintyPpm()).isPositive().isLessThan(plain);
    assertThat(value(r.valuePpm()) + value(r.noiseBiasPpm())).isCloseTo(plain, within(1e-12));
  }
}
