package org.fieldwright.app.capture;

import java.util.Arrays;
import java.util.Locale;
import java.util.stream.Collectors;
import org.fieldwright.core.BadInput;

/**
 * What makes the next reading begin.
 *
 * @param seconds from one to the next, for the timer
 */
public record Advance(Kind kind, double seconds) {
  private static final double LONGEST_SECONDS = 3600;

  /** By what. */
  public enum Kind {
    /** A key, a pedal, a finger. */
    HAND,
    TIMER,
    /** The readings of a probe have changed and come to rest. */
    SETTLED;

    /** The name used in requests and answers. */
    public String id() {
      return name().toLowerCase(Locale.ROOT);
    }

    /** The kind of this name. */
    public static Kind named(String name) {
      return Arrays.stream(values())
          .filter(k -> k.id().equals(name))
          .findFirst()
          .orElseThrow(
              () ->
                  new BadInput(
                      "advance: found '%s'; right is one of %s"
                          .formatted(
                              name,
                              Arrays.stream(values())
                                  .map(Kind::id)
                                  .collect(Collectors.joining(", ")))));
    }
  }

  public Advance {
    if (kind == Kind.TIMER && !(seconds >= 1 && seconds <= LONGEST_SECONDS)) {
      throw new BadInput("seconds: found %s; right is 1 to 3600".formatted(seconds));
    }
  }
}
