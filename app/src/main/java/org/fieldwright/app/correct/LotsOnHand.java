package org.fieldwright.app.correct;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.correction.Loading.Place;
import org.fieldwright.core.correction.LotStock;

/** The lots while a round is recorded: says which one a step takes from, and that it has enough. */
final class LotsOnHand {
  private final List<LotStock> lots;

  LotsOnHand(List<LotStock> lots) {
    this.lots = new ArrayList<>(lots);
  }

  /**
   * Takes pieces from a lot, or puts them back.
   *
   * @param changes the list, for the message
   * @param change pieces put in; negative if they came out
   * @param named the lot that the list names; empty where it names none
   * @return the lot: the one named, or the only one that has pieces of this kind left
   */
  String taking(Path changes, Place place, int change, String named) {
    List<LotStock> own = lots.stream().filter(l -> l.piece().equals(place.piece())).toList();
    if (own.isEmpty() || (named.isEmpty() && change < 0)) {
      return named; // of no lot that is kept count of, or nobody knows whence it came
    }
    List<LotStock> meant =
        own.stream().filter(l -> named.isEmpty() ? l.left() > 0 : l.lot().equals(named)).toList();
    if (meant.size() != 1) {
      throw new BadInput(
          "%s: tray %d, pocket %d: lot: found '%s'; pieces of %s come from %s"
              .formatted(
                  changes,
                  place.tray(),
                  place.pocket(),
                  named,
                  place.piece(),
                  String.join(
                      ", ", own.stream().map(l -> l.lot() + " (" + l.left() + " left)").toList())));
    }
    LotStock lot = meant.get(0);
    if (change > lot.left()) {
      throw new BadInput(
          "%s: tray %d, pocket %d: takes %d of %s from lot %s, of which %d are left"
              .formatted(
                  changes,
                  place.tray(),
                  place.pocket(),
                  change,
                  place.piece(),
                  lot.lot(),
                  lot.left()));
    }
    lots.set(lots.indexOf(lot), lot.less(change));
    return lot.lot();
  }
}
