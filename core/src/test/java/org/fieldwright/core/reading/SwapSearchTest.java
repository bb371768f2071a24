package org.fieldwright.core.reading;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Arrays;
import java.util.Random;
import java.util.Set;
import org.fieldwright.core.geometry.GaussLegendre;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.HarmonicDesign;
import org.fieldwright.core.harmonic.Sampling;
import org.fieldwright.core.harmonic.WorkingFit;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** The errors are put in, so that who is to blame is known. */
class SwapSearchTest {
  private static final int PROBES = 20;
  private static final int ANGLES = 24;
  private static final double RADIUS = 0.2;
  private static final double NOISE = 0.02;
  private static final int FIRST = 9 * PROBES + 8; // of four neighbours at one setting

  private static Sampling turn() {
    GaussLegendre nodes = GaussLegendre.of(PROBES);
    int size = PROBES * ANGLES;
    Vec3[] points = new Vec3[size];
    double[] weight = new double[size];
    int[] probe = new int[size];
    int[] angle = new int[size];
    for (int i = 0; i < size; i++) {
      probe[i] = i % PROBES;
      angle[i] = i / PROBES;
      points[i] =
          Vec3.spherical(RADIUS, Math.acos(nodes.node(probe[i])), 2 * Math.PI * angle[i] / ANGLES);
      weight[i] = 1;
    }
    return new Sampling(points, weight, probe, angle);
  }

  /** Two that err alike lift the fit between them; the good ones beside them look worst. */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 6, 9})
  void twoNeighboursThatErrAlikeAreBlamedInPlaceOfThoseBesideThem(long seed) {
    Random random = new Random(seed);
    double[] values = new double[PROBES * ANGLES];
    Arrays.setAll(values, i -> NOISE * random.nextGaussian());
    values[FIRST + 1] += 14 * NOISE;
    values[FIRST + 2] += 14 * NOISE;
    WorkingFit fit = new WorkingFit(HarmonicDesign.of(turn(), 12, RADIUS, null), 12, values);
    double[] alike = new double[values.length];
    Arrays.fill(alike, 1);

    Set<Integer> blamed =
        new SwapSearch(fit, Set.of(), NOISE, alike).improve(Set.of(FIRST, FIRST + 3));

    assertThat(blamed).as("seed %d", seed).contains(FIRST + 1, FIRST + 2);
    assertThat(blamed).doesNotContain(FIRST, FIRST + 3);
  }
}
