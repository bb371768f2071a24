package org.fieldwright.core.harmonic;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.SplittableRandom;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.magnetostatics.CurrentLoop;
import org.junit.jupiter.api.Test;

/** Against the full field of current loops, whose symmetry leaves no part open. */
class TransverseFieldTest {
  private static final double RADIUS = 0.2;

  /** A pair that is not quite a Helmholtz pair, along an axis that is askew. */
  @Test
  void ofCoaxialLoopsIsTheirRadialField() {
    CurrentLoop near = CurrentLoop.coaxial(0.8, 0.42, 1000);
    CurrentLoop far = CurrentLoop.coaxial(0.75, -0.4, 1000);
    Expansion tesla = near.zonalExpansion(60, RADIUS).plus(far.zonalExpansion(60, RADIUS));
    double centre = tesla.coefficient(0);
    Expansion ppm = tesla.times(1e6 / centre).withConstant(0);
    Rotation askew = new Rotation(new Vec3(0.3, -0.8, 0.2));
    Expansion seen = askew.inverse().seenBy(ppm);
    Vec3 axis = askew.turn(Vec3.UNIT_Z);
    TransverseField straight = new TransverseField(ppm, Vec3.UNIT_Z);
    TransverseField turned = new TransverseField(seen, axis);
    TransverseField opposite = new TransverseField(ppm, new Vec3(0, 0, -1));
    SplittableRandom random = new SplittableRandom(4);
    for (int k = 0; k < 50; k++) {
      Vec3 p =
          Vec3.spherical(
              RADIUS * random.nextDouble(), random.nextDouble(Math.PI), random.nextDouble(6));
      Vec3 b = near.at(p).plus(far.at(p));
      double transverse = 1e6 * Math.hypot(b.x(), b.y()) / centre;
      assertThat(straight.at(p)).isCloseTo(transverse, within(1e-7 * transverse + 1e-6));
      assertThat(turned.at(askew.turn(p))).isCloseTo(transverse, within(1e-7 * transverse + 1e-6));
      assertThat(opposite.at(p)).isCloseTo(transverse, within(1e-7 * transverse + 1e-6));
      double excess = 1e6 * (b.norm() - b.z()) / centre;
      // the next term of the root is smaller by some (transverse/2)² and by the field's own change
      assertThat(straight.excess(p)).isCloseTo(excess, within(0.02 * excess + 1e-6));
    }
  }

  /** A gradient along x: the potential g·x·z gives a field along x of g·z. */
  @Test
  void ofATransverseGradientIsTheLeast() {
    double[] c = new double[Term.count(1)];
    c[Term.index(1, 1, Term.Part.COS)] = 300;
    TransverseField field = new TransverseField(new Expansion(RADIUS, c), Vec3.UNIT_Z);
    assertThat(field.at(new Vec3(0.1, 0.05, 0.2))).isCloseTo(300, within(1e-9));
    assertThat(field.at(new Vec3(0.1, 0.05, 0))).isCloseTo(0, within(1e-9));
    assertThat(field.excess(new Vec3(0, 0, 0.2))).isCloseTo(0.045, within(1e-9));
  }
}
