package org.fieldwright.adapters.yaml;

import java.util.function.DoublePredicate;

/**
 * What a number must be.
 *
 * @param words as a message says it
 */
public record Expected(String words, DoublePredicate holds) {
  public static final Expected NUMBER = new Expected("a number", v -> true);
  public static final Expected POSITIVE = new Expected("a number above 0", v -> v > 0);
  public static final Expected NOT_NEGATIVE = new Expected("a number of at least 0", v -> v >= 0);
  public static final Expected NOT_ZERO = new Expected("a number other than 0", v -> v != 0);

  /** From one bound to the other, both included. */
  public static Expected within(double low, double high) {
    return new Expected(
        "a number from " + plain(low) + " to " + plain(high), v -> v >= low && v <= high);
  }

  private static String plain(double v) {
    return v == Math.rint(v) ? Long.toString((long) v) : Double.toString(v);
  }
}
