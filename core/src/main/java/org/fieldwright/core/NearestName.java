package org.fieldwright.core;

import java.util.Collection;
import java.util.Locale;
import org.jspecify.annotations.Nullable;

/** Finds the name that was meant when one is mistyped. */
public final class NearestName {
  private NearestName() {}

  /**
   * The known name nearest to the given one, or null if none is near: at most one slip for names up
   * to four letters, two up to eight, three above. A slip is a letter too many, too few, wrong, or
   * swapped with its neighbour (optimal string alignment distance); case does not count.
   */
  public static @Nullable String of(String name, Collection<String> known) {
    String best = null;
    int fewest = name.length() <= 4 ? 1 : name.length() <= 8 ? 2 : 3;
    String given = name.toLowerCase(Locale.ROOT);
    for (String candidate : known) {
      if (Math.abs(candidate.length() - name.length()) > fewest) {
        continue;
      }
      int slips = slips(given, candidate.toLowerCase(Locale.ROOT));
      if (slips < fewest || (slips == fewest && best == null)) {
        fewest = slips;
        best = candidate;
      }
    }
    return best;
  }

  /** A sentence for a message: the nearest name if there is one, and all the known ones. */
  public static String advice(String name, Collection<String> known) {
    String near = of(name, known);
    String all = "known: " + String.join(", ", known);
    return near == null ? all : "did you mean " + near + "? (" + all + ")";
  }

  static int slips(String a, String b) {
    int[][] d = new int[a.length() + 1][b.length() + 1];
    for (int i = 0; i <= a.length(); i++) {
      for (int j = 0; j <= b.length(); j++) {
        d[i][j] = i == 0 || j == 0 ? i + j : cheapest(d, a, b, i, j);
      }
    }
    return d[a.length()][b.length()];
  }

  private static int cheapest(int[][] d, String a, String b, int i, int j) {
    char ca = a.charAt(i - 1);
    char cb = b.charAt(j - 1);
    int cost = ca == cb ? 0 : 1;
    int best = Math.min(d[i - 1][j - 1] + cost, Math.min(d[i - 1][j], d[i][j - 1]) + 1);
    boolean swapped = i > 1 && j > 1 && ca == b.charAt(j - 2) && a.charAt(i - 2) == cb;
    return swapped ? Math.min(best, d[i - 2][j - 2] + 1) : best;
  }
}
