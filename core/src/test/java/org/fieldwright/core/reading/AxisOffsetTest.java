package org.fieldwright.core.reading;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import org.fieldwright.core.geometry.Vec3;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Arrays turned off their axis on purpose; the true field at the true places is the referee. */
class AxisOffsetTest {

  private static List<Finding> found(Vec3 offAxis, long seed) {
    VettingTest.Taken taken = new VettingTest.Taken(VettingTest.array(24, 0.02), 0.02, seed);
    taken.offAxis = offAxis;
    return taken.turn(32).vet().vetted().findings().stream()
        .filter(f -> f.what().id().startsWith("array_"))
        .toList();
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3})
  void bothDirectionsAreFoundInMillimetres(long seed) {
    List<Finding> found = found(new Vec3(5e-4, -3e-4, 0), seed);
    assertThat(found)
        .extracting(Finding::what)
        .containsExactly(Finding.What.ARRAY_OFF_AXIS, Finding.What.ARRAY_BESIDE_AXIS);
    double[] truth = {0.5, -0.3};
    for (int k = 0; k < 2; k++) {
      assertThat(found.get(k).estimate())
          .as(found.get(k).words())
          .isCloseTo(truth[k], within(4 * found.get(k).uncertainty()));
      assertThat(found.get(k).uncertainty()).isLessThan(0.05);
    }
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5})
  void anArrayOnItsAxisIsNotNamed(long seed) {
    assertThat(found(Vec3.ZERO, seed)).isEmpty();
  }
}
