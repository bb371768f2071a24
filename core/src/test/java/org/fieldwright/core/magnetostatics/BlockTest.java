package org.fieldwright.core.magnetostatics;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.SplittableRandom;
import org.fieldwright.core.ReferenceTable;
import org.fieldwright.core.geometry.Vec3;
import org.junit.jupiter.api.Test;

class BlockTest {

  /** The table's x is our radial side, its y our tangential, at azimuth 0. */
  @Test
  void equalsTheTable() {
    Block block = new Block(Vec3.ZERO, 0.03, 0.01, 0.04, 0, Vec3.UNIT_Z);
    for (double[] row : ReferenceTable.rows("/magnetostatics/block.csv")) {
      Vec3 p = new Vec3(row[0], row[1], row[2]);
      assertThat(block.at(p).z()).as("exact at %s", p).isCloseTo(row[3], within(2e-16));
      assertThat(block.dipole().at(p).z())
          .as("point dipole at %s", p)
          .isCloseTo(row[4], within(1e-9 * Math.abs(row[4])));
    }
  }

  /** Many dipoles at Gauss places are the independent form, for every direction and azimuth. */
  @Test
  void equalsItsOwnSubdivisionInEveryComponent() {
    SplittableRandom random = new SplittableRandom(20260312);
    for (int trial = 0; trial < 20; trial++) {
      double phi = random.nextDouble(2 * Math.PI);
      Vec3 centre = Vec3.cylindrical(0.37, phi, random.nextDouble(-0.5, 0.5));
      Vec3 j = new Vec3(random.nextDouble(-1, 1), random.nextDouble(-1, 1), 1);
      Block block = new Block(centre, 0.04, 0.05, 0.012, phi, j);
      List<PointDipole> dipoles = block.dipoles(6, 6, 6);
      Vec3 p = Vec3.spherical(0.2, random.nextDouble(Math.PI), random.nextDouble(2 * Math.PI));
      Vec3 sum = Vec3.ZERO;
      for (PointDipole d : dipoles) {
        sum = sum.plus(d.at(p));
      }
      assertThat(block.at(p).minus(sum).norm())
          .as("seed 20260312, trial %d", trial)
          .isLessThan(1e-14);
    }
  }

  /** On the line that continues an edge, and in the plane of a face, nothing is singular. */
  @Test
  void isFiniteBesideItsEdges() {
    Block block = new Block(Vec3.ZERO, 0.03, 0.01, 0.04, 0, new Vec3(1, 1, 1));
    for (Vec3 p :
        List.of(
            new Vec3(0.02, 0.015, 0.1), new Vec3(0.02, 0.015, -0.1), new Vec3(0.1, 0.015, 0.005))) {
      Vec3 beside = block.at(p.plus(new Vec3(1e-9, -1e-9, 1e-9)));
      assertThat(block.at(p).minus(beside).norm()).as("at %s", p).isLessThan(1e-7);
    }
  }
}
