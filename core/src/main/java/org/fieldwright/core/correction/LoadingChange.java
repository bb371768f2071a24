package org.fieldwright.core.correction;

import java.util.SortedSet;
import org.fieldwright.core.correction.IronSystem.PocketId;
import org.fieldwright.core.correction.Loading.Place;

/**
 * What a technician has to do to get from what is installed to what is planned.
 *
 * @param added pieces that go in
 * @param removed pieces that come out
 * @param massAdded of what goes in, kg
 * @param pocketsTouched pockets whose content changes
 */
record LoadingChange(int added, int removed, double massAdded, int pocketsTouched) {

  static LoadingChange between(IronSystem iron, Loading planned) {
    Loading installed = iron.installed();
    SortedSet<Place> places = installed.differences(planned);
    int added = 0;
    int removed = 0;
    double massAdded = 0;
    for (Place place : places) {
      int change = planned.count(place) - installed.count(place);
      added += Math.max(0, change);
      removed += Math.max(0, -change);
      massAdded += Math.max(0, change) * massOf(iron, place.piece());
    }
    int touched =
        (int) places.stream().map(p -> new PocketId(p.tray(), p.pocket())).distinct().count();
    return new LoadingChange(added, removed, massAdded, touched);
  }

  private static double massOf(IronSystem iron, String piece) {
    return iron.pieces().stream()
        .filter(p -> p.id().equals(piece))
        .mapToDouble(PieceType::mass)
        .findFirst()
        .orElseThrow(() -> new IllegalArgumentException("no such piece: " + piece));
  }
}
