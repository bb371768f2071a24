package org.fieldwright.core.correction;

import java.util.List;
import java.util.Map;
import java.util.TreeMap;

/**
 * How many pieces of one delivery there were and are.
 *
 * @param lot as the delivery is called
 * @param piece kind of piece
 * @param delivered count
 * @param left that are not in the magnet
 */
public record LotStock(String lot, String piece, int delivered, int left) {

  /** The same with so many taken from it; negative if they were put back. */
  public LotStock less(int taken) {
    return new LotStock(lot, piece, delivered, left - taken);
  }

  /** The same after rounds of loading: what went in has left, what came out is back. */
  public static List<LotStock> after(List<LotStock> lots, List<LoadedRound> rounds) {
    Map<String, Integer> in = new TreeMap<>();
    for (LoadedRound round : rounds) {
      round
          .steps()
          .forEach(s -> in.merge(key(s.lot(), s.place().piece()), s.count(), Integer::sum));
    }
    return lots.stream().map(l -> l.less(in.getOrDefault(key(l.lot, l.piece), 0))).toList();
  }

  /** Neither name holds a line break. */
  private static String key(String lot, String piece) {
    return lot + '\n' + piece;
  }
}
