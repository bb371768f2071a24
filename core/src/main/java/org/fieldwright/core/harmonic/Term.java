package org.fieldwright.core.harmonic;

import org.jspecify.annotations.Nullable;

/**
 * One solid harmonic: degree n, order m, and its phase in azimuth.
 *
 * <p>Terms are stored in the order n, m, cos before sin, without the empty sin of m = 0; {@link
 * #index()} is the place in that order: (0,0), (1,0), (1,1)cos, (1,1)sin, (2,0) …
 */
public record Term(int n, int m, Part part) {

  /** The phase in azimuth. */
  public enum Part {
    COS,
    SIN;

    /** The name used in files. */
    public String id() {
      return this == COS ? "cos" : "sin";
    }
  }

  public Term {
    if (n < 0 || m < 0 || m > n || (m == 0 && part == Part.SIN)) {
      throw new IllegalArgumentException("no such harmonic: n = " + n + ", m = " + m + " " + part);
    }
  }

  /** Number of terms of all degrees up to and including {@code degree}: (degree + 1)². */
  public static int count(int degree) {
    return (degree + 1) * (degree + 1);
  }

  public static int index(int n, int m, Part part) {
    return n * n + (m == 0 ? 0 : 2 * m - (part == Part.COS ? 1 : 0));
  }

  public int index() {
    return index(n, m, part);
  }

  // Written out: a record's own pair is linked at its first use, 10 ms of an assessment's start.
  @Override
  public int hashCode() {
    return index();
  }

  @Override
  public boolean equals(@Nullable Object other) {
    return other instanceof Term term && term.index() == index();
  }

  public static Term at(int index) {
    int n = (int) Math.sqrt(index);
    int k = index - n * n;
    int m = (k + 1) / 2;
    return new Term(n, m, k > 0 && k % 2 == 0 ? Part.SIN : Part.COS);
  }

  /** The name shim-coil engineers use, up to third degree; otherwise "n,m cos" or "n,m sin". */
  public String tradeName() {
    boolean c = part == Part.COS;
    return switch (10 * n + m) {
      case 0 -> "Z0";
      case 10 -> "Z";
      case 11 -> c ? "X" : "Y";
      case 20 -> "Z2";
      case 21 -> c ? "ZX" : "ZY";
      case 22 -> c ? "X2−Y2" : "XY";
      case 30 -> "Z3";
      case 31 -> c ? "Z2X" : "Z2Y";
      case 32 -> c ? "Z(X2−Y2)" : "ZXY";
      case 33 -> c ? "X3" : "Y3";
      default -> m == 0 ? "Z" + n : n + "," + m + " " + part.id();
    };
  }
}
