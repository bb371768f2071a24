package org.fieldwright.core.homogeneity;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.SplittableRandom;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.geometry.Volume;
import org.fieldwright.core.harmonic.Covariance;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.Term;
import org.fieldwright.core.homogeneity.Limit.Measure;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvFileSource;
import org.junit.jupiter.params.provider.EnumSource;

class RmsTest {
  private static final Volume.Cylinder CYLINDER = new Volume.Cylinder(0.15, 0.1);
  private static final Volume.Ellipsoid ELLIPSOID = new Volume.Ellipsoid(0.2, 0.17, 0.12);

  /** Table of single harmonics; source in the file's head. */
  @ParameterizedTest
  @CsvFileSource(resources = "/homogeneity/single-harmonics.csv", useHeadersInDisplayName = true)
  void singleHarmonics(int n, int m, double surfaceRms, double volumeRms, double peakToPeak) {
    Expansion field = SurfaceExtremesTest.single(n, m).withConstant(7);
    Volume sphere = new Volume.Sphere(1);

    assertThat(Rms.of(field, sphere, Measure.SURFACE_RMS))
        .isCloseTo(surfaceRms, within(1e-14 * surfaceRms + 1e-15));
    assertThat(Rms.of(field, sphere, Measure.VOLUME_RMS))
        .isCloseTo(volumeRms, within(1e-14 * volumeRms + 1e-15));
  }

  /** An ellipsoid of equal axes is a sphere: quadrature against the closed form. */
  @ParameterizedTest
  @EnumSource(names = {"SURFACE_RMS", "VOLUME_RMS"})
  void quadratureMeetsClosedForm(Measure measure) {
    Expansion field = RandomFields.of(21, 13, 0.8).withConstant(40);
    double closed = Rms.of(field, new Volume.Sphere(0.17), measure);

    assertThat(Rms.of(field, new Volume.Ellipsoid(0.17, 0.17, 0.17), measure))
        .isCloseTo(closed, within(1e-12 * closed));
  }

  /** Z and Z2 over a cylinder, integrated by hand: about the mean, h²/3 and so on. */
  @Test
  void lowTermsOnCylinder() {
    double r = CYLINDER.radius();
    double h = CYLINDER.halfLength();
    Expansion z = new Expansion(1, new double[] {3, 1, 0, 0});
    assertThat(Rms.of(z, CYLINDER, Measure.VOLUME_RMS)).isCloseTo(h / Math.sqrt(3), within(1e-15));
    // Caps of area 2πr² at |z| = h, a side of area 4πrh with mean square h²/3.
    double surface = h * h * (2 * r * r + 4 * r * h / 3) / (2 * r * r + 4 * r * h);
    assertThat(Rms.of(z, CYLINDER, Measure.SURFACE_RMS))
        .isCloseTo(Math.sqrt(surface), within(1e-15));

    double[] c = new double[9];
    c[4] = 1; // z² − ρ²/2
    double variance = 4 * Math.pow(h, 4) / 45 + Math.pow(r, 4) / 48;
    assertThat(Rms.of(new Expansion(1, c), CYLINDER, Measure.VOLUME_RMS))
        .isCloseTo(Math.sqrt(variance), within(1e-15));
  }

  /** x over an ellipsoid: mean square a²/5. */
  @Test
  void gradientOnEllipsoid() {
    Expansion x = new Expansion(1, new double[] {0, 0, 1, 0});
    assertThat(Rms.of(x, ELLIPSOID, Measure.VOLUME_RMS))
        .isCloseTo(0.2 / Math.sqrt(5), within(1e-15));
  }

  /** Against random points: loose, but it knows nothing of quadrature. */
  @Test
  void agreesWithRandomPoints() {
    long seed = 22;
    Expansion field = RandomFields.of(seed, 7, 0.8);
    for (Volume v : new Volume[] {CYLINDER, ELLIPSOID}) {
      double sampled = volumeRmsByPoints(field, v, new SplittableRandom(seed));
      assertThat(Rms.of(field, v, Measure.VOLUME_RMS))
          .as("%s seed %d", v, seed)
          .isCloseTo(sampled, within(0.02 * sampled));
    }
  }

  private static double volumeRmsByPoints(Expansion field, Volume v, SplittableRandom random) {
    double outer = v.outerRadius();
    double sum = 0;
    double squares = 0;
    int count = 0;
    while (count < 40_000) {
      Vec3 p =
          new Vec3(
              random.nextDouble(-outer, outer),
              random.nextDouble(-outer, outer),
              random.nextDouble(-outer, outer));
      if (v.contains(p)) {
        double b = field.at(p);
        sum += b;
        squares += b * b;
        count++;
      }
    }
    return Math.sqrt(squares / count - sum * sum / count / count);
  }

  /** Surface of a triaxial ellipsoid against a plain fine grid with its own area element. */
  @Test
  void ellipsoidSurfaceAgainstFineGrid() {
    Expansion field = RandomFields.of(23, 9, 0.8);
    double area = 0;
    double sum = 0;
    double squares = 0;
    for (int i = 0; i < 360; i++) {
      double t = Math.PI * (i + 0.5) / 360;
      for (int j = 0; j < 360; j++) {
        double f = 2 * Math.PI * (j + 0.5) / 360;
        Vec3 u = Vec3.spherical(1, t, f);
        Vec3 p = new Vec3(0.2 * u.x(), 0.17 * u.y(), 0.12 * u.z());
        Vec3 byPolar =
            new Vec3(
                0.2 * Math.cos(t) * Math.cos(f),
                0.17 * Math.cos(t) * Math.sin(f),
                -0.12 * Math.sin(t));
        Vec3 byAzimuth = new Vec3(-0.2 * u.y(), 0.17 * u.x(), 0);
        double element = byPolar.cross(byAzimuth).norm();
        double b = field.at(p);
        area += element;
        sum += element * b;
        squares += element * b * b;
      }
    }
    double expected = Math.sqrt(squares / area - sum * sum / area / area);
    assertThat(Rms.of(field, ELLIPSOID, Measure.SURFACE_RMS))
        .isCloseTo(expected, within(1e-4 * expected));
  }

  /** The quadratic form gives the same mean square, on every shape. */
  @Test
  void quadraticFormMatches() {
    Expansion field = RandomFields.of(24, 8, 0.8).withConstant(11);
    for (Volume v : new Volume[] {CYLINDER, ELLIPSOID, new Volume.Sphere(0.16)}) {
      for (Measure measure : new Measure[] {Measure.SURFACE_RMS, Measure.VOLUME_RMS}) {
        MeanSquareForm form = MeanSquareForm.of(v, measure, field);
        double[] c = field.coefficients();
        double[] wc = form.times(c);
        double square = 0;
        for (int i = 0; i < c.length; i++) {
          square += c[i] * wc[i];
        }
        double rms = Rms.of(field, v, measure);
        assertThat(Math.sqrt(square)).as("%s %s", v, measure).isCloseTo(rms, within(1e-11 * rms));
      }
    }
  }

  /** tr(WC) and 2 tr(WCWC) for a rank-one covariance ggᵀ are gᵀWg and 2 (gᵀWg)². */
  @Test
  void noiseTracesOfOneDirection() {
    Expansion direction = RandomFields.of(25, 5, 0.8);
    double[] g = direction.coefficients();
    int size = Term.count(5);
    double[] outer = new double[size * size];
    for (int i = 0; i < size; i++) {
      for (int j = 0; j < size; j++) {
        outer[i * size + j] = g[i] * g[j];
      }
    }
    Covariance covariance = new Covariance(size, outer);
    for (Volume v : new Volume[] {CYLINDER, ELLIPSOID, new Volume.Sphere(0.16)}) {
      double square = Math.pow(Rms.of(direction, v, Measure.VOLUME_RMS), 2);
      MeanSquareForm form = MeanSquareForm.of(v, Measure.VOLUME_RMS, direction);
      assertThat(form.noiseMeanSquare(covariance)).isCloseTo(square, within(1e-11 * square));
      assertThat(form.noiseMeanSquareVariance(covariance))
          .isCloseTo(2 * square * square, within(1e-10 * square * square));
    }
  }
}
