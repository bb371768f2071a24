package org.fieldwright.core.correction;

import java.util.List;
import org.fieldwright.core.geometry.Vec3;

/**
 * A tray put in the other end first: half a turn about the line that runs radially through the
 * middle of its pockets. What lay at its +z end comes to lie at its −z end (the tray fills its
 * slot, whether the slot lies about the isocentre or not), and what lay to the left of its middle
 * line comes to lie to the right.
 *
 * @param outwards unit vector from the axis to the tray; zero where its pockets lie all round the
 *     axis
 * @param middle z of the middle between its outermost pockets, m
 */
record TrayTurn(Vec3 outwards, double middle) {
  private static final double ALL_ROUND = 1e-9;

  static TrayTurn of(List<Pocket> pockets, int tray) {
    List<Vec3> centres =
        pockets.stream().filter(p -> p.tray() == tray).map(Pocket::centre).toList();
    double least = centres.stream().mapToDouble(Vec3::z).min().orElseThrow();
    double most = centres.stream().mapToDouble(Vec3::z).max().orElseThrow();
    double x = centres.stream().mapToDouble(Vec3::x).sum();
    double y = centres.stream().mapToDouble(Vec3::y).sum();
    double length = Math.hypot(x, y);
    double reach = centres.stream().mapToDouble(c -> Math.hypot(c.x(), c.y())).sum();
    Vec3 outwards =
        length > ALL_ROUND * reach ? new Vec3(x / length, y / length, 0) : new Vec3(0, 0, 0);
    return new TrayTurn(outwards, (least + most) / 2);
  }

  Vec3 apply(Vec3 place) {
    Vec3 across = new Vec3(place.x(), place.y(), 0);
    double out = across.dot(outwards);
    Vec3 turned = outwards.norm() == 0 ? across : outwards.times(2 * out).plus(across.times(-1));
    return new Vec3(turned.x(), turned.y(), 2 * middle - place.z());
  }
}
