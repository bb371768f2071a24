package org.fieldwright.core.correction;

import java.util.Collections;
import java.util.Map;
import java.util.SortedSet;
import java.util.TreeMap;
import java.util.TreeSet;

/**
 * How many pieces of each kind lie in each pocket. Immutable; empty places are absent.
 *
 * @param counts never zero or negative; in the order tray, pocket, piece
 */
public record Loading(Map<Place, Integer> counts) {

  public static final Loading EMPTY = new Loading(Map.of());

  public Loading {
    TreeMap<Place, Integer> sorted = new TreeMap<>();
    counts.forEach(
        (place, count) -> {
          if (count < 0) {
            throw new IllegalArgumentException("negative count at " + place);
          }
          if (count > 0) {
            sorted.put(place, count);
          }
        });
    counts = Collections.unmodifiableMap(sorted);
  }

  public int count(Place place) {
    return counts.getOrDefault(place, 0);
  }

  /** Places where another loading has another count, in the order tray, pocket, piece. */
  public SortedSet<Place> differences(Loading other) {
    TreeSet<Place> places = new TreeSet<>(counts.keySet());
    places.addAll(other.counts.keySet());
    places.removeIf(p -> count(p) == other.count(p));
    return places;
  }

  /** One kind of piece in one pocket of one tray. */
  public record Place(int tray, int pocket, String piece) implements Comparable<Place> {
    @Override
    public int compareTo(Place o) {
      int byTray = Integer.compare(tray, o.tray);
      int byPocket = byTray != 0 ? byTray : Integer.compare(pocket, o.pocket);
      return byPocket != 0 ? byPocket : piece.compareTo(o.piece);
    }
  }
}
