package org.fieldwright.core.simulation;

import java.util.ArrayList;
import java.util.List;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.reading.Probe;
import org.fieldwright.core.reading.ProbeArray;

/**
 * The array as it really is: every probe a little off its drawn place, every probe reading a little
 * high or low. It stays so from survey to survey.
 *
 * @param probes in the order of the array
 */
public record ArrayState(List<ProbeState> probes) {

  private static final int ARRAY = 4;

  public ArrayState {
    probes = List.copyOf(probes);
  }

  /**
   * One probe.
   *
   * @param probe as drawn
   * @param displacement from there, m, in the frame that turns with the array: x in the half-plane
   *     away from the axis, y across it, z along the bore
   * @param offsetPpm what it reads too high beyond the offset the magnet file states, ppm
   */
  public record ProbeState(Probe probe, Vec3 displacement, double offsetPpm) {

    /** The true place at an angle of the array, rad. */
    Vec3 at(double angle) {
      Vec3 p = Vec3.spherical(probe.radius(), probe.polar(), 0).plus(displacement);
      double c = Math.cos(angle);
      double s = Math.sin(angle);
      return new Vec3(c * p.x() - s * p.y(), s * p.x() + c * p.y(), p.z());
    }
  }

  /**
   * Drawn from what the array is stated to be worth.
   *
   * @param position standard deviation in each direction, m
   * @param normalisationPpm standard deviation of the probes against each other, ppm
   */
  public static ArrayState draw(
      ProbeArray array, double position, double normalisationPpm, long seed) {
    List<ProbeState> probes = new ArrayList<>();
    for (Probe probe : array.probes()) {
      Draws draws = Draws.of(seed, ARRAY, probe.id());
      Vec3 displacement = new Vec3(draws.normal(), draws.normal(), draws.normal()).times(position);
      probes.add(new ProbeState(probe, displacement, normalisationPpm * draws.normal()));
    }
    return new ArrayState(probes);
  }
}
