package org.fieldwright.app;

import org.fieldwright.adapters.text.Numerals;
import org.jspecify.annotations.Nullable;

/** How a paper writes numbers, as whoever asks for the paper says. */
public record NumberWriting(Numerals numerals) {
  public static final NumberWriting ENGLISH = new NumberWriting(Numerals.ENGLISH);

  /**
   * By name; English where none is given.
   *
   * @param where named in the complaint about an unknown one
   */
  public static NumberWriting named(@Nullable String id, String where) {
    return new NumberWriting(Numerals.named(id, where));
  }
}
