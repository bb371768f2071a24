package org.fieldwright.core.correction;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * How the strength of the main field changes along the way of a tray, as its owner measured or was
 * told it; linear between the places given, unknown outside.
 *
 * @param places along the bore at the trays' radius, ascending, at least two
 */
public record FieldGradient(List<Place> places) {

  /**
   * One place.
   *
   * @param z m
   * @param axial d|B|/dz, T/m
   * @param radial d|B|/dr away from the bore's axis, T/m; null where the profile does not tell
   */
  public record Place(double z, double axial, @Nullable Double radial) {}

  public FieldGradient {
    places = List.copyOf(places);
    if (places.size() < 2) {
      throw new IllegalArgumentException("two places at least");
    }
    for (int i = 1; i < places.size(); i++) {
      if (!(places.get(i).z() > places.get(i - 1).z())) {
        throw new IllegalArgumentException("ascending places");
      }
    }
  }

  /** Where the profile begins, m. */
  public double from() {
    return places.get(0).z();
  }

  /** Where it ends, m. */
  public double to() {
    return places.get(places.size() - 1).z();
  }

  /** Whether the radial part is told, too. */
  public boolean tellsRadial() {
    return places.stream().allMatch(p -> p.radial() != null);
  }

  /** d|B|/dz at a place within the profile, T/m. */
  public double axial(double z) {
    int i = below(z);
    return between(i, z, places.get(i).axial(), places.get(i + 1).axial());
  }

  /** d|B|/dr at a place within the profile, T/m; 0 where it is not told. */
  public double radial(double z) {
    int i = below(z);
    Double here = places.get(i).radial();
    Double next = places.get(i + 1).radial();
    return here == null || next == null ? 0 : between(i, z, here, next);
  }

  private double between(int i, double z, double here, double next) {
    double share = (z - places.get(i).z()) / (places.get(i + 1).z() - places.get(i).z());
    return here + share * (next - here);
  }

  /** The last place at or below z that has one above it. */
  private int below(double z) {
    int low = 0;
    int high = places.size() - 1;
    while (high - low > 1) {
      int middle = (low + high) >>> 1;
      if (places.get(middle).z() <= z) {
        low = middle;
      } else {
        high = middle;
      }
    }
    return low;
  }
}
