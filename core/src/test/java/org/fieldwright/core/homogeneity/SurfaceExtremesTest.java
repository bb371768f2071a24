package org.fieldwright.core.homogeneity;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.stream.Stream;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.geometry.Volume;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.Normalisation;
import org.fieldwright.core.harmonic.Term;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.CsvFileSource;
import org.junit.jupiter.params.provider.MethodSource;

class SurfaceExtremesTest {
  private static final double TOLERANCE_PPM = 1e-6;

  /** Table of extremes of single Legendre functions; source in the file's head. */
  @ParameterizedTest
  @CsvFileSource(resources = "/homogeneity/single-harmonics.csv", useHeadersInDisplayName = true)
  void singleHarmonics(int n, int m, double surfaceRms, double volumeRms, double peakToPeak) {
    Expansion field = single(n, m);
    Volume sphere = new Volume.Sphere(1);

    Extremes found = SurfaceExtremes.of(field, sphere);

    assertThat(found.peakToPeak()).isCloseTo(peakToPeak, within(1e-9 * Math.max(1, peakToPeak)));
    assertThat(field.at(found.max().at())).isEqualTo(found.max().ppm());
    assertThat(field.at(found.min().at())).isEqualTo(found.min().ppm());
    assertThat(found.max().at().norm()).isCloseTo(1, within(1e-14));
  }

  static Expansion single(int n, int m) {
    double[] c = new double[Term.count(n)];
    c[Term.index(n, m, Term.Part.COS)] =
        1 / Normalisation.UNNORMALISED.coefficientFromSchmidt(n, m);
    return new Expansion(1, c);
  }

  static Stream<Arguments> surfaces() {
    return Stream.of(
        Arguments.of(new Volume.Sphere(0.2), 20, 0.75, 1L, 0.5),
        Arguments.of(new Volume.Sphere(0.2), 20, 1.0, 2L, 0.5),
        Arguments.of(new Volume.Sphere(0.15), 12, 0.6, 3L, 1.0),
        Arguments.of(new Volume.Sphere(0.2), 3, 0.5, 4L, 1.0),
        Arguments.of(new Volume.Sphere(0.2), 40, 0.6, 5L, 1.5),
        Arguments.of(new Volume.Ellipsoid(0.2, 0.2, 0.18), 12, 0.7, 6L, 1.0),
        Arguments.of(new Volume.Ellipsoid(0.2, 0.15, 0.11), 12, 0.9, 7L, 1.0),
        Arguments.of(new Volume.Cylinder(0.15, 0.1), 12, 0.8, 8L, 1.0),
        Arguments.of(new Volume.Cylinder(0.05, 0.19), 16, 0.9, 9L, 1.0),
        Arguments.of(new Volume.Cylinder(0.19, 0.02), 10, 0.9, 10L, 1.0));
  }

  /** Against every point of a dense grid refined by a search without derivatives. */
  @ParameterizedTest(name = "{0}, degree {1}, decay {2}, seed {3}")
  @MethodSource("surfaces")
  void agreesWithDenseSearch(Volume volume, int degree, double ratio, long seed, double stepDeg) {
    Expansion field = RandomFields.of(seed, degree, ratio);
    DenseSearch dense = new DenseSearch(field);

    Extremes found = SurfaceExtremes.of(field, volume);

    assertThat(found.max().ppm())
        .isCloseTo(dense.extreme(volume, stepDeg, 1), within(TOLERANCE_PPM));
    assertThat(found.min().ppm())
        .isCloseTo(dense.extreme(volume, stepDeg, -1), within(TOLERANCE_PPM));
  }

  /** A uniform gradient takes its extremes where geometry says. */
  @Test
  void gradientOnCylinderEndsOnTheRim() {
    Expansion gradient = new Expansion(0.2, new double[] {0, 3, 4, 0}); // 3 Z + 4 X
    Extremes found = SurfaceExtremes.of(gradient, new Volume.Cylinder(0.1, 0.05));

    assertThat(found.max().ppm()).isCloseTo((3 * 0.05 + 4 * 0.1) / 0.2, within(1e-12));
    assertThat(found.max().at().minus(new Vec3(0.1, 0, 0.05)).norm()).isLessThan(1e-8);
    assertThat(found.min().at().minus(new Vec3(-0.1, 0, -0.05)).norm()).isLessThan(1e-8);
  }

  /** Z2 = z² − ρ²/2: highest in the middle of a cap, lowest on the side at z = 0. */
  @Test
  void secondDegreeOnCylinderUsesCapAndSide() {
    double[] c = new double[9];
    c[4] = 1;
    Extremes found = SurfaceExtremes.of(new Expansion(0.2, c), new Volume.Cylinder(0.1, 0.05));

    assertThat(found.max().ppm()).isCloseTo(0.05 * 0.05 / 0.04, within(1e-12));
    assertThat(found.min().ppm()).isCloseTo(-0.1 * 0.1 / 2 / 0.04, within(1e-12));
    assertThat(found.min().at().z()).isCloseTo(0, within(1e-7));
  }

  /** A gradient on an ellipsoid: ± the norm of (slope · semi-axis). */
  @Test
  void gradientOnEllipsoid() {
    Expansion gradient = new Expansion(0.2, new double[] {0, 3, 4, 12}); // Z, X, Y
    Volume ellipsoid = new Volume.Ellipsoid(0.2, 0.1, 0.15);
    double expected = Math.hypot(Math.hypot(3 * 0.15, 4 * 0.2), 12 * 0.1) / 0.2;

    assertThat(SurfaceExtremes.of(gradient, ellipsoid).peakToPeak())
        .isCloseTo(2 * expected, within(1e-11));
  }

  @Test
  void uniformFieldHasNoPeakToPeak() {
    for (Volume v :
        new Volume[] {
          new Volume.Sphere(0.2), new Volume.Ellipsoid(0.2, 0.1, 0.1), new Volume.Cylinder(0.1, 0.1)
        }) {
      assertThat(SurfaceExtremes.of(new Expansion(0.2, new double[] {5}), v).peakToPeak())
          .as("%s", v)
          .isCloseTo(0, within(1e-13));
    }
  }

  /** One search object serves fields of different degree and reference radius in turn. */
  @Test
  void workspaceDoesNotRemember() {
    SurfaceExtremes search = new SurfaceExtremes(new Volume.Cylinder(0.15, 0.1));
    Expansion first = RandomFields.of(11, 12, 0.8);
    Expansion second = RandomFields.of(12, 6, 0.8).withReferenceRadius(0.1);
    Extremes alone = SurfaceExtremes.of(first, new Volume.Cylinder(0.15, 0.1));

    search.of(first);
    search.of(second);

    assertThat(search.of(first)).isEqualTo(alone);
  }
}
