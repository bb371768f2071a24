package org.fieldwright.core.outside;

import java.util.ArrayList;
import java.util.List;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.outside.OutsideFinding.Least;

/**
 * What readings would show at all: the least piece, magnetised along the field, that would be very
 * strongly better than none once its place and size are paid for.
 */
final class LeastIron {
  private static final double[] RADII = {2, 3, 4, 6};
  private static final int DIRECTIONS = 100;
  private static final int UNKNOWNS = 4;

  private LeastIron() {}

  /** By distance, in the direction where it shows least. */
  static List<Least> of(Remainder remainder, double scatter) {
    OutsideReadings readings = remainder.readings();
    double needed =
        scatter * Math.sqrt(OutsideFinding.STRONG + UNKNOWNS * Math.log(readings.readings()));
    List<Least> least = new ArrayList<>();
    for (double radii : RADII) {
      double distance = radii * readings.radius();
      double weakest = Double.POSITIVE_INFINITY;
      for (Vec3 direction : SourceGrid.directions(DIRECTIONS)) {
        double[] column = remainder.column(direction.times(distance), readings.axis());
        weakest = Math.min(weakest, Math.sqrt(Remainder.squares(column)));
      }
      least.add(new Least(distance, OutsideSource.iron(needed / weakest)));
    }
    return least;
  }
}
