package org.fieldwright.core.outside;

import java.util.List;
import org.fieldwright.core.geometry.Vec3;

/**
 * Dipoles as a fit found them.
 *
 * @param positions metres
 * @param directions unit vectors that each moment may have parts along
 * @param moments the parts, T·m³, source by source
 * @param squares what they leave of the readings, weighted, ppm²
 */
record Sources(List<Vec3> positions, List<Vec3> directions, List<Double> moments, double squares) {

  int count() {
    return positions.size();
  }

  /** T·m³. */
  Vec3 moment(int source) {
    Vec3 sum = Vec3.ZERO;
    for (int k = 0; k < directions.size(); k++) {
      sum = sum.plus(directions.get(k).times(moments.get(source * directions.size() + k)));
    }
    return sum;
  }

  /** Three for each place and one for each part of a moment. */
  int unknowns() {
    return count() * (3 + directions.size());
  }
}
