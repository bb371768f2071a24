package org.fieldwright.core.correction;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.Set;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.Covariance;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.harmonic.Term;
import org.junit.jupiter.api.Test;

class CoilResponseTest {
  private static final int SIZE = Term.count(3);

  /** Two fields in tesla, written as models: what lies between them is the coil, per ampere. */
  @Test
  void isTheDifferenceOfTheFieldsPerAmpere() {
    double[] off = new double[SIZE];
    double[] coil = new double[SIZE];
    for (int k = 0; k < SIZE; k++) {
      off[k] = 1e-6 * (5 - k);
      coil[k] = 1e-6 * Math.cos(k);
    }
    off[0] = 0.55;
    double[] on = off.clone();
    for (int k = 0; k < SIZE; k++) {
      on[k] += 2.5 * coil[k];
    }
    CoilResponse found = CoilResponse.of(model(on, 0.3), model(off, 0.4), 2.5);
    Vec3 p = new Vec3(0.05, -0.1, 0.12);
    assertThat(found.ppmPerAmpere().at(p))
        .isCloseTo(new Expansion(0.2, coil).at(p) / 0.55 * 1e6, within(1e-9));
    assertThat(found.uncertainty()[4]).isCloseTo(0.5 / 2.5, within(1e-12));
    assertThat(found.significantTerms())
        .allSatisfy(
            t ->
                assertThat(Math.abs(coil[t.index()]) / 0.55 * 1e6)
                    .isGreaterThan(2 * found.uncertainty()[t.index()]))
        .isNotEmpty();
  }

  private static FieldModel model(double[] tesla, double uncertaintyPpm) {
    double centre = tesla[0];
    double[] variance = new double[SIZE * SIZE];
    for (int k = 0; k < SIZE; k++) {
      variance[k * SIZE + k] = uncertaintyPpm * uncertaintyPpm;
    }
    return new FieldModel(
        new Expansion(0.2, tesla).times(1e6 / centre).withConstant(0),
        centre,
        Set.of(),
        new Covariance(SIZE, variance),
        List.of(),
        1,
        0,
        100,
        0.2,
        "given");
  }
}
