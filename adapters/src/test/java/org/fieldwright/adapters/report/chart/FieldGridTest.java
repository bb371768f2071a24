package org.fieldwright.adapters.report.chart;

import static org.assertj.core.api.Assertions.assertThat;

import org.assertj.core.data.Offset;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.geometry.Volume;
import org.fieldwright.core.harmonic.Expansion;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class FieldGridTest {

  @ParameterizedTest
  @ValueSource(ints = {0, 1, 2})
  void everyRayEndsOnTheSurface(int shape) {
    Volume volume =
        switch (shape) {
          case 0 -> new Volume.Sphere(0.2);
          case 1 -> new Volume.Ellipsoid(0.2, 0.15, 0.1);
          default -> new Volume.Cylinder(0.15, 0.1);
        };
    for (int polar = 0; polar <= 180; polar += 15) {
      for (int azimuth = 0; azimuth < 360; azimuth += 30) {
        Vec3 p = FieldGrid.surfacePoint(volume, Math.toRadians(polar), Math.toRadians(azimuth));
        assertThat(volume.contains(p.times(1 - 1e-9))).isTrue();
        assertThat(volume.contains(p.times(1 + 1e-9))).isFalse();
      }
    }
  }

  /** A gradient along z of 10 ppm at R0 = 0.2 m: +10 at the +z pole, −10 at the other. */
  @Test
  void theFirstRowIsPlusZ() {
    Expansion z = new Expansion(0.2, new double[] {0, 10, 0, 0});
    FieldGrid grid = FieldGrid.over(new Volume.Sphere(0.2), z);
    assertThat(grid.ppm()[0][17]).isCloseTo(10, Offset.offset(1e-12));
    assertThat(grid.ppm()[90][17]).isCloseTo(-10, Offset.offset(1e-12));
    assertThat(grid.smallest()).isCloseTo(-10, Offset.offset(1e-12));
    assertThat(grid.largest()).isCloseTo(10, Offset.offset(1e-12));
  }
}
