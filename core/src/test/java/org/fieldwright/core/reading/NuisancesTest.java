package org.fieldwright.core.reading;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.Set;
import org.fieldwright.core.BadInput;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Unknowns carried beside the field, in surveys of a known field with known faults. */
class NuisancesTest {

  private static ProbeArray array(int probes, Nuisances free) {
    return VettingTest.array(
        probes, new ProbeArray.Uncertainty(0.02, null, null, null), null, free);
  }

  private static VettingOptions degree(int degree) {
    return new VettingOptions(degree, Set.of(), Set.of(), null);
  }

  /** Sizes of which the first two would not stand out by themselves. */
  @ParameterizedTest
  @ValueSource(longs = {31, 32, 33})
  void whatWasPutInComesBack(long seed) {
    ProbeArray array = array(20, new Nuisances(Set.of(7), List.of(90.0), true));
    VettingTest.Taken taken = new VettingTest.Taken(array, 0.02, seed);
    taken.driftPpmPerHour = 0.7;
    for (int a = 0; a < 24; a++) {
      taken.angle(15 * a, 15 * a + (a == 6 ? 0.05 : 0));
      taken.shift(20 * a + 6, 0.03);
    }
    VettedSurvey vetted = taken.vet(degree(11)).vetted();
    assertThat(vetted.suspectProbes()).isEmpty();
    assertThat(vetted.suspectAngles()).isEmpty();
    assertThat(vetted.freed()).hasSize(3);
    for (VettedSurvey.Freed f : vetted.freed()) {
      double truth =
          f instanceof VettedSurvey.Freed.Drift
              ? 0.7
              : f instanceof VettedSurvey.Freed.Angle ? 0.05 : 0.03;
      assertThat(f.value()).as("%s", f).isCloseTo(truth, within(4 * f.uncertainty()));
      assertThat(f.uncertainty()).as("%s", f).isBetween(0.01 * truth, truth);
    }
  }

  /** Eight probes carry a zonal field of degree 7: any offset of one of them is such a field. */
  @Test
  void whatTheReadingsCannotTellFromTheFieldIsRefused() {
    ProbeArray array = array(8, new Nuisances(Set.of(3), List.of(), false));
    VettingTest.Taken taken = new VettingTest.Taken(array, 0.02, 5).turn(20);
    assertThatThrownBy(() -> taken.vet(degree(7)))
        .isInstanceOf(BadInput.class)
        .hasMessageContaining("array.free")
        .hasMessageContaining("cannot tell the offset of probe 3 from a field of degree 7");
    assertThat(taken.vet(degree(4)).vetted().freed()).hasSize(1);
  }

  @Test
  void whatWasNotReadIsRefused() {
    for (Nuisances free :
        List.of(
            new Nuisances(Set.of(9), List.of(), false),
            new Nuisances(Set.of(), List.of(7.0), false))) {
      ProbeArray array = array(8, free);
      VettingTest.Taken taken = new VettingTest.Taken(array, 0.02, 5).turn(20);
      assertThatThrownBy(taken::vet)
          .isInstanceOf(BadInput.class)
          .hasMessageMatching(".*(probe 9 took no reading here|nothing was read at 7°)");
    }
  }
}
