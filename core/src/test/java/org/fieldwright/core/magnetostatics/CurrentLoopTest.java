package org.fieldwright.core.magnetostatics;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.SplittableRandom;
import org.fieldwright.core.ReferenceTable;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.Expansion;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class CurrentLoopTest {

  @Test
  void equalsTheTable() {
    CurrentLoop loop = CurrentLoop.coaxial(0.5, 0, 100);
    for (double[] row : ReferenceTable.rows("/magnetostatics/loop.csv")) {
      CurrentLoop.Cylindrical b = loop.inOwnFrame(row[0], row[1]);
      String at = "at rho " + row[0] + ", z " + row[1];
      assertThat(b.radial()).as(at).isCloseTo(row[2], within(4e-15 * Math.abs(row[2])));
      assertThat(b.axial()).as(at).isCloseTo(row[3], within(4e-15 * Math.abs(row[3])));
    }
  }

  /** Close to the axis Bρ → −(ρ/2) ∂Bz/∂z, from the textbook field on the axis. */
  @ParameterizedTest
  @ValueSource(doubles = {1e-8, 1e-11, 1e-15, 1e-30})
  void keepsItsDigitsBesideTheAxis(double rho) {
    double a = 0.5;
    double z = 0.3;
    double expected = 0.75 * Constants.MU_0 * a * a * rho * z / Math.pow(a * a + z * z, 2.5);
    assertThat(CurrentLoop.coaxial(a, 0, 1).inOwnFrame(rho, z).radial())
        .isCloseTo(expected, within(4e-15 * expected));
  }

  /** Far away a loop is a dipole of moment I·π·a²; the next term is (a/r)² smaller. */
  @ParameterizedTest
  @ValueSource(doubles = {1e8, 1e10})
  void keepsItsDigitsFarAway(double factor) {
    double a = 0.5;
    CurrentLoop loop = CurrentLoop.coaxial(a, 0, 1);
    PointDipole dipole =
        new PointDipole(Vec3.ZERO, Vec3.UNIT_Z.times(Constants.MU_0 * Math.PI * a * a));
    for (double theta = 0.1; theta < 3; theta += 0.31) {
      Vec3 p = Vec3.spherical(a * factor, theta, 0.4);
      Vec3 expected = dipole.at(p);
      assertThat(loop.at(p).minus(expected).norm() / expected.norm())
          .as("at %s", p)
          .isLessThan(1e-14);
    }
  }

  /** Straight sums of Biot–Savart, exponentially convergent on a circle, for any loop. */
  @Test
  void equalsBiotSavartForLoopsAnywhere() {
    SplittableRandom random = new SplittableRandom(20260313);
    for (int trial = 0; trial < 20; trial++) {
      Vec3 axis = Vec3.spherical(1, random.nextDouble(Math.PI), random.nextDouble(2 * Math.PI));
      Vec3 centre = new Vec3(random.nextDouble(-1, 1), random.nextDouble(-1, 1), 0.3);
      CurrentLoop loop = new CurrentLoop(centre, axis, 0.6, 1000);
      Vec3 p =
          centre.plus(
              Vec3.spherical(
                  random.nextBoolean() ? 0.3 : 1.1,
                  random.nextDouble(Math.PI),
                  random.nextDouble(2 * Math.PI)));
      Vec3 expected = biotSavart(loop, p, 400);
      assertThat(loop.at(p).minus(expected).norm())
          .as("seed 20260313, trial %d", trial)
          .isLessThan(1e-14 * expected.norm());
    }
  }

  private static Vec3 biotSavart(CurrentLoop loop, Vec3 p, int steps) {
    Vec3 helper = Math.abs(loop.axis().z()) < 0.9 ? Vec3.UNIT_Z : Vec3.UNIT_X;
    Vec3 u = loop.axis().cross(helper).unit();
    Vec3 v = loop.axis().cross(u);
    Vec3 sum = Vec3.ZERO;
    for (int i = 0; i < steps; i++) {
      double psi = 2 * Math.PI * i / steps;
      Vec3 outward = u.times(Math.cos(psi)).plus(v.times(Math.sin(psi)));
      Vec3 along = v.times(Math.cos(psi)).minus(u.times(Math.sin(psi)));
      Vec3 d = p.minus(loop.centre().plus(outward.times(loop.radius())));
      sum = sum.plus(along.cross(d).times(Math.pow(d.norm(), -3)));
    }
    return sum.times(Constants.MU_0 * loop.current() * loop.radius() / (2.0 * steps));
  }

  @Test
  void zonalExpansionEqualsTheTable() {
    Expansion e = CurrentLoop.coaxial(0.5, 0.2, 1 / Constants.MU_0).zonalExpansion(8, 1);
    for (double[] row : ReferenceTable.rows("/magnetostatics/loop-zonal.csv")) {
      int n = (int) row[0];
      assertThat(e.coefficient(n * n))
          .as("order %d", n)
          .isCloseTo(row[1], within(1e-13 * Math.abs(row[1])));
    }
  }

  /** 0.961 862 218 667 281 39 by 30-digit arithmetic, series and elliptic form alike. */
  @Test
  void expansionMeetsTheLoop() {
    CurrentLoop loop = CurrentLoop.coaxial(0.5, 0.2, 1 / Constants.MU_0);
    Vec3 p = Vec3.cylindrical(0.12, 1.1, 0.09);
    assertThat(loop.at(p).z()).isCloseTo(0.9618622186672814, within(1e-15));
    assertThat(loop.zonalExpansion(60, 0.3).at(p)).isCloseTo(0.9618622186672814, within(1e-14));
  }
}
