package org.fieldwright.core.magnetostatics;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.SplittableRandom;
import org.fieldwright.core.ReferenceTable;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.Normalisation;
import org.fieldwright.core.harmonic.Term;
import org.junit.jupiter.api.Test;

class DipoleTest {
  private static final Vec3 SOURCE = new Vec3(0.4, 0.2, 0.3);
  private static final Vec3 POINT = new Vec3(0.08, -0.05, 0.10);

  /** −4.467… m⁻³ by 30-digit arithmetic, series and closed form alike. */
  @Test
  void axialDipoleEqualsTheReference() {
    PointDipole unit = new PointDipole(SOURCE, Vec3.UNIT_Z.times(4 * Math.PI));
    assertThat(unit.at(POINT).z()).isCloseTo(-4.467378957528084, within(2e-15));
    assertThat(unit.along(POINT, Vec3.UNIT_Z)).isCloseTo(-4.467378957528084, within(2e-15));
  }

  /** 1 cm³ of pure iron at 2.15 T: −0.0755550673 μT at the origin, −0.764330852 μT at the point. */
  @Test
  void aCubicCentimetreOfIron() {
    PointDipole piece = PointDipole.ofPiece(SOURCE, 2.15, 1e-6, Vec3.UNIT_Z);
    assertThat(piece.at(Vec3.ZERO).z()).isCloseTo(-0.0755550673e-6, within(1e-16));
    assertThat(piece.at(POINT).z()).isCloseTo(-0.764330852e-6, within(1e-15));
  }

  @Test
  void expansionEqualsTheTableToDegreeSix() {
    double r0 = 0.2;
    Expansion e =
        new PointDipole(SOURCE, Vec3.UNIT_Z.times(4 * Math.PI)).expansion(Vec3.UNIT_Z, 6, r0);
    double phi0 = Math.atan2(0.2, 0.4);
    for (double[] row : ReferenceTable.rows("/magnetostatics/dipole-expansion.csv")) {
      int n = (int) row[0];
      int m = (int) row[1];
      double factor = Normalisation.UNNORMALISED.coefficientFromSchmidt(n, m) / Math.pow(r0, n);
      double tolerance = 1e-13 * Math.max(1, Math.abs(row[2]));
      double cos = e.coefficient(new Term(n, m, Term.Part.COS)) * factor;
      assertThat(cos)
          .as("cos %d,%d", n, m)
          .isCloseTo(row[2] * Math.cos(m * phi0), within(tolerance));
      if (m > 0) {
        double sin = e.coefficient(new Term(n, m, Term.Part.SIN)) * factor;
        assertThat(sin)
            .as("sin %d,%d", n, m)
            .isCloseTo(row[2] * Math.sin(m * phi0), within(tolerance));
      }
    }
  }

  /** The derivative of the series, term by term, referees the closed form. */
  @Test
  void theGradientIsThatOfTheSeries() {
    PointDipole dipole = new PointDipole(SOURCE, new Vec3(0.3, -0.5, 0.9));
    Vec3 axis = new Vec3(0.2, 0.4, -0.8).unit();
    Expansion[] series = dipole.expansion(axis, 40, 0.2).gradient();
    Vec3 gradient = dipole.gradientAlong(POINT, axis);
    assertThat(gradient.x()).isCloseTo(series[0].at(POINT), within(1e-12));
    assertThat(gradient.y()).isCloseTo(series[1].at(POINT), within(1e-12));
    assertThat(gradient.z()).isCloseTo(series[2].at(POINT), within(1e-12));
  }

  /** The closed form referees the series for every direction of moment and of view. */
  @Test
  void seriesOfManyDipolesEqualsTheirSumInEveryDirection() {
    SplittableRandom random = new SplittableRandom(20260311);
    DipoleSeries series = new DipoleSeries(60, 0.2);
    PointDipole[] dipoles = new PointDipole[5];
    for (int i = 0; i < dipoles.length; i++) {
      dipoles[i] = new PointDipole(direction(random).times(0.4 + 0.2 * i), direction(random));
      series.add(dipoles[i]);
    }
    for (int trial = 0; trial < 50; trial++) {
      Vec3 axis = direction(random);
      Vec3 p = direction(random).times(0.2);
      double exact = 0;
      for (PointDipole d : dipoles) {
        exact += d.at(p).dot(axis);
        assertThat(d.along(p, axis)).isCloseTo(d.at(p).dot(axis), within(1e-13));
      }
      // What degree 60 leaves out at half the nearest distance: of the order of 61²·2^−61.
      assertThat(series.along(axis).at(p))
          .as("seed 20260311, trial %d", trial)
          .isCloseTo(exact, within(1e-13));
    }
  }

  private static Vec3 direction(SplittableRandom random) {
    double z = random.nextDouble(-1, 1);
    return Vec3.spherical(1, Math.acos(z), random.nextDouble(2 * Math.PI));
  }
}
