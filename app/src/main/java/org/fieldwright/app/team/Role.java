package org.fieldwright.app.team;

import java.util.Arrays;
import java.util.Locale;
import java.util.stream.Collectors;
import org.fieldwright.core.BadInput;

/** What somebody may do; each may do what those before it may. */
public enum Role {
  /** Look at everything; changes nothing. */
  SEE,
  /**
   * Add files, decide on readings, search for plans and for iron outside, take surveys, record
   * rounds.
   */
  MEASURE,
  /** Make signed evidence. */
  SIGN;

  public String word() {
    return name().toLowerCase(Locale.ROOT);
  }

  /** The role of that word. */
  public static Role named(String word) {
    return Arrays.stream(values())
        .filter(r -> r.word().equals(word))
        .findFirst()
        .orElseThrow(
            () -> new BadInput("role: found '%s'; right is one of %s".formatted(word, words())));
  }

  private static String words() {
    return Arrays.stream(values()).map(Role::word).collect(Collectors.joining(", "));
  }

  public boolean covers(Role other) {
    return compareTo(other) >= 0;
  }
}
