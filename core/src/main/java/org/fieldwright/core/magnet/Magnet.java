package org.fieldwright.core.magnet;

import java.util.List;
import org.fieldwright.core.correction.Coil;
import org.fieldwright.core.correction.IronSystem;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.homogeneity.Limit;
import org.fieldwright.core.reading.ProbeArray;
import org.jspecify.annotations.Nullable;

/**
 * A magnet as its file describes it.
 *
 * @param name as people call it
 * @param serial null if not stated
 * @param nominalField T
 * @param fieldAxis unit vector along the main field
 * @param array what measures it; an array without probes where the file names none
 * @param limits what is required
 * @param iron null where iron cannot be loaded
 * @param coils empty where there are none
 */
public record Magnet(
    String name,
    @Nullable String serial,
    double nominalField,
    Vec3 fieldAxis,
    ProbeArray array,
    List<Limit> limits,
    @Nullable IronSystem iron,
    List<Coil> coils) {

  public Magnet {
    limits = List.copyOf(limits);
    coils = List.copyOf(coils);
  }

  /** Radius of the farthest point that a limit or the readings speak of, m. */
  public double reach(double measuredRadius) {
    return limits.stream()
        .filter(l -> l.volume() != null)
        .mapToDouble(l -> l.requireVolume().outerRadius())
        .reduce(measuredRadius, Math::max);
  }

  /** The same with another iron system. */
  public Magnet withIron(IronSystem other) {
    return new Magnet(name, serial, nominalField, fieldAxis, array, limits, other, coils);
  }
}
