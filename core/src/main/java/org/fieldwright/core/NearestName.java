package org.fieldwright.core;

import java.util.Collection;
import java.util.Locale;
import java.util.Optional;

/**
 * Answers a name that is close but unknown with the known one that was probably meant.
 *
 * <p>Distance: Damerau–Levenshtein in its optimal string alignment form (insert, delete, replace,
 * exchange of neighbours each cost 1), without regard to case. A name further than a third of its
 * length, and than one change, is called near to nothing.
 */
public final class NearestName {
  private NearestName() {}

  /** The known name nearest to what was found, or empty where none is near. First wins a tie. */
  public static Optional<String> of(String found, Collection<String> known) {
    String wanted = found.toLowerCase(Locale.ROOT);
    int best = Math.max(1, wanted.length() / 3) + 1;
    Optional<String> nearest = Optional.empty();
    for (String name : known) {
      int distance = distance(wanted, name.toLowerCase(Locale.ROOT));
      if (distance < best) {
        best = distance;
        nearest = Optional.of(name);
      }
    }
    return nearest;
  }

  /** The number of single changes that turn one text into the other. */
  static int distance(String a, String b) {
    int[][] d = new int[a.length() + 1][b.length() + 1];
    for (int i = 0; i <= a.length(); i++) {
      d[i][0] = i;
    }
    for (int j = 0; j <= b.length(); j++) {
      d[0][j] = j;
    }
    for (int i = 1; i <= a.length(); i++) {
      for (int j = 1; j <= b.length(); j++) {
        int replace = a.charAt(i - 1) == b.charAt(j - 1) ? 0 : 1;
        d[i][j] = Math.min(Math.min(d[i - 1][j], d[i][j - 1]) + 1, d[i - 1][j - 1] + replace);
        if (i > 1
            && j > 1
            && a.charAt(i - 1) == b.charAt(j - 2)
            && a.charAt(i - 2) == b.charAt(j - 1)) {
          d[i][j] = Math.min(d[i][j], d[i - 2][j - 2] + 1);
        }
      }
    }
    return d[a.length()][b.length()];
  }
}
