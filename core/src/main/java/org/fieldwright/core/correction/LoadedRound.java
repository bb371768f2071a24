package org.fieldwright.core.correction;

import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.fieldwright.core.correction.Loading.Place;
import org.jspecify.annotations.Nullable;

/**
 * A round of loading as it was really done.
 *
 * @param number counts from 1
 * @param time when it was recorded
 * @param by who loaded
 * @param takesBack the round that this one undid; null if it is none such
 * @param note in a few words; may be empty
 * @param steps what changed, in the order tray, pocket, piece
 */
public record LoadedRound(
    int number,
    Instant time,
    String by,
    @Nullable Integer takesBack,
    String note,
    List<Step> steps) {

  public LoadedRound {
    steps = List.copyOf(steps);
  }

  /**
   * One kind of piece in one pocket.
   *
   * @param weighed mass of what was put in or taken out, g; null where nobody weighed
   * @param lot of the pieces; empty where not stated
   */
  public record Step(Place place, int from, int to, @Nullable Double weighed, String lot) {
    public int count() {
      return to - from;
    }
  }

  /** What lies in the pockets after the round. */
  public Loading applyTo(Loading before) {
    Map<Place, Integer> counts = new TreeMap<>(before.counts());
    steps.forEach(s -> counts.put(s.place(), s.to()));
    return new Loading(counts);
  }
}
