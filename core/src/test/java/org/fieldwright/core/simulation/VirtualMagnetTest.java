package org.fieldwright.core.simulation;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.SplittableRandom;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.magnetostatics.Block;
import org.fieldwright.core.magnetostatics.CurrentLoop;
import org.fieldwright.core.magnetostatics.FieldSource;
import org.fieldwright.core.magnetostatics.PointDipole;
import org.junit.jupiter.api.Test;

class VirtualMagnetTest {
  private static final Vec3 TILTED = new Vec3(0.01, -0.02, 1).unit();

  private static final List<CurrentLoop> LOOPS =
      List.of(
          CurrentLoop.coaxial(0.7, 0.35, 1),
          new CurrentLoop(new Vec3(0.003, -0.002, -0.35), TILTED, 0.7, 1));

  private static final List<FieldSource> IRON =
      List.of(
          new PointDipole(new Vec3(0.2, 0.9, -0.3), new Vec3(0, 1e-5, 2e-5)),
          new Block(
              Vec3.cylindrical(0.4, 0.5, 0.2), 0.04, 0.05, 0.01, 0.5, Vec3.UNIT_Z.times(2.1)));

  @Test
  void isEnergisedToItsFieldWithTheIronInPlace() {
    VirtualMagnet magnet = VirtualMagnet.energised(Vec3.UNIT_Z, LOOPS, IRON, 0.55);
    assertThat(magnet.magnitude(Vec3.ZERO)).isCloseTo(0.55, within(1e-15));
    assertThat(magnet.sources()).hasSize(4).containsAll(IRON);
  }

  /** Inside a source-free ball the expansion is the field: the sources' closed forms say so. */
  @Test
  void expansionMeetsTheSourcesInsideTheSphere() {
    VirtualMagnet magnet = VirtualMagnet.energised(Vec3.UNIT_Z, LOOPS, IRON, 0.55);
    Expansion field = magnet.expansion(40, 0.2);
    SplittableRandom random = new SplittableRandom(20260314);
    for (int trial = 0; trial < 30; trial++) {
      Vec3 p =
          Vec3.spherical(
              random.nextDouble(0.2),
              Math.acos(random.nextDouble(-1, 1)),
              random.nextDouble(2 * Math.PI));
      assertThat(field.at(p))
          .as("seed 20260314, trial %d", trial)
          .isCloseTo(magnet.at(p).z(), within(1e-12));
    }
  }
}
