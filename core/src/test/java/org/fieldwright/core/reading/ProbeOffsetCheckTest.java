package org.fieldwright.core.reading;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.reading.ProbeOffsetCheck.Sample;
import org.junit.jupiter.api.Test;

class ProbeOffsetCheckTest {
  private static ProbeArray array(double... stated) {
    List<Probe> probes = new ArrayList<>();
    for (int k = 0; k < stated.length; k++) {
      probes.add(new Probe(k + 1, 0.2 + k * 0.3, 0.2, stated[k]));
    }
    return new ProbeArray(
        "ring",
        42.5,
        "made up",
        0.2,
        probes,
        null,
        null,
        null,
        new ProbeArray.Uncertainty(0.02, null, null, null),
        null,
        Nuisances.NONE);
  }

  /**
   * A B A at 0, 1 and 2 h: the two visits of A give the drift, B stands half-way, so B − A = b − (a
   * + a′)/2 with variance s²(1 + 1/2); each offset is half of it either way. By hand.
   */
  @Test
  void threeVisitsOfTwoProbesByHand() {
    List<Sample> samples =
        List.of(new Sample(1, 0, 5.0), new Sample(2, 1, 5.7), new Sample(1, 2, 5.4));
    ProbeOffsetCheck check = ProbeOffsetCheck.of("f.csv", samples, array(0.1, 0.3));
    assertThat(check.driftPpmPerHour()).isCloseTo(0.2, within(1e-12));
    assertThat(check.driftUncertainty()).isCloseTo(0.02 * Math.sqrt(2) / 2, within(1e-12));
    assertThat(check.offsets().get(0).ppm()).isCloseTo(0.2 - 0.25, within(1e-12));
    assertThat(check.offsets().get(1).ppm()).isCloseTo(0.2 + 0.25, within(1e-12));
    assertThat(check.offsets().get(1).uncertaintyPpm())
        .isCloseTo(0.02 * Math.sqrt(1.5) / 2, within(1e-12));
    assertThat(check.offsets().get(0).isNews()).isTrue();
    assertThat(check.visits()).isEqualTo(3);
  }

  /**
   * Drawn from known offsets, drift and scatter: errors over stated uncertainties have χ²/n = 1.
   */
  @Test
  void theUncertaintyIsTrue() {
    SplittableRandom random = new SplittableRandom(20260311);
    double chiSquare = 0;
    int count = 0;
    int bent = 0;
    for (int trial = 0; trial < 300; trial++) {
      double[] truth = new double[8];
      double mean = 0;
      for (int k = 0; k < 8; k++) {
        truth[k] = 0.2 * random.nextGaussian();
        mean += truth[k] / 8;
      }
      boolean curved = trial % 2 == 1;
      List<Sample> samples = new ArrayList<>();
      double t = 0;
      for (int round = 0; round < 3; round++) {
        for (int k = 0; k < 8; k++) {
          double field = 0.3 * t + (curved ? 4 * t * t : 0) + 0.01 * random.nextGaussian();
          samples.add(new Sample(k + 1, t, 7 + field + truth[k]));
          samples.add(new Sample(k + 1, t, 7 + field + truth[k]));
          t += 0.01;
        }
      }
      ProbeOffsetCheck check = ProbeOffsetCheck.of("f.csv", samples, array(new double[8]));
      bent += curved && check.driftDegree() == 2 ? 1 : 0;
      for (int k = 0; k < 8; k++) {
        double error = check.offsets().get(k).ppm() - (truth[k] - mean);
        chiSquare += Math.pow(error / check.offsets().get(k).uncertaintyPpm(), 2);
        count++;
      }
    }
    assertThat(chiSquare / count)
        .isBetween(0.9, 1.25); // the scatter itself is from 14 degrees of freedom
    assertThat(bent).isGreaterThan(140);
  }

  @Test
  void whatIsMissingIsSaid() {
    ProbeArray two = array(0, 0);
    assertThatThrownBy(
            () ->
                ProbeOffsetCheck.of(
                    "f.csv", List.of(new Sample(1, 0, 0), new Sample(1, 1, 0)), two))
        .isInstanceOf(BadInput.class)
        .hasMessageContaining("no reading of probe 2");
    assertThatThrownBy(
            () ->
                ProbeOffsetCheck.of(
                    "f.csv", List.of(new Sample(1, 0, 0), new Sample(2, 1, 0)), two))
        .isInstanceOf(BadInput.class)
        .hasMessageContaining("again at the end");
    assertThatThrownBy(() -> ProbeOffsetCheck.of("f.csv", List.of(new Sample(7, 0, 0)), two))
        .isInstanceOf(BadInput.class)
        .hasMessageContaining("found probe 7");
  }
}
