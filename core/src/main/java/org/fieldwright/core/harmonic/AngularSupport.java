package org.fieldwright.core.harmonic;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * What a set of array angles can tell about the orders m.
 *
 * <p>M equal angles over the full turn separate the orders m &lt; M/2; m and M − m look the same at
 * every one of them, and at m = M/2 only one phase is seen (the discrete Fourier transform on M
 * points). Any other set of angles is left to the rank of the design matrix.
 *
 * @param distinct angles that differ modulo 360° by more than {@link #SAME_ANGLE_DEG}, 0..360,
 *     ascending, degrees
 * @param equal whether they divide the full turn evenly
 */
public record AngularSupport(List<Double> distinct, boolean equal) {
  /** Angles closer than this are one setting, degrees. */
  public static final double SAME_ANGLE_DEG = 0.01;

  /** The phase of order M/2 counts as seen where |cos| or |sin| of its offset is this near one. */
  private static final double ALIGNED = 0.9999;

  public AngularSupport {
    distinct = List.copyOf(distinct);
  }

  /** Judges the angles at which an array stood, in degrees, in any order, repeats included. */
  public static AngularSupport of(double[] anglesDeg) {
    double[] sorted = new double[anglesDeg.length];
    for (int i = 0; i < sorted.length; i++) {
      double a = anglesDeg[i] % 360;
      sorted[i] = a < 0 ? a + 360 : a;
    }
    Arrays.sort(sorted);
    List<Double> distinct = new ArrayList<>();
    for (double a : sorted) {
      boolean wraps = !distinct.isEmpty() && distinct.get(0) + 360 - a <= SAME_ANGLE_DEG;
      if (!wraps
          && (distinct.isEmpty() || a - distinct.get(distinct.size() - 1) > SAME_ANGLE_DEG)) {
        distinct.add(a);
      }
    }
    return new AngularSupport(distinct, evenlySpaced(distinct));
  }

  private static boolean evenlySpaced(List<Double> distinct) {
    int count = distinct.size();
    if (count < 2) {
      return false;
    }
    double step = 360.0 / count;
    for (int i = 0; i < count; i++) {
      double expected = distinct.get(0) + i * step;
      if (Math.abs(distinct.get(i) - expected) > 2 * SAME_ANGLE_DEG) {
        return false;
      }
    }
    return true;
  }

  public int count() {
    return distinct.size();
  }

  /** Index of the distinct angle nearest to this one, modulo 360°. */
  public int indexOf(double angleDeg) {
    int best = 0;
    double nearest = Double.POSITIVE_INFINITY;
    for (int i = 0; i < count(); i++) {
      double apart = Math.abs(Math.IEEEremainder(angleDeg - distinct.get(i), 360));
      if (apart < nearest) {
        nearest = apart;
        best = i;
      }
    }
    return best;
  }

  /** Whether these angles cannot tell this term from a lower one, by the rule for equal angles. */
  public boolean hides(Term term) {
    if (!equal || 2 * term.m() < count()) {
      return false;
    }
    if (2 * term.m() > count()) {
      return true;
    }
    double phase = Math.toRadians(distinct.get(0)) * term.m();
    double seen = term.part() == Term.Part.COS ? Math.cos(phase) : Math.sin(phase);
    return Math.abs(seen) < ALIGNED;
  }

  /** The highest degree of which every order is seen, one phase of m = M/2 allowed to be hidden. */
  public int highestWholeDegree() {
    return equal ? count() / 2 : Integer.MAX_VALUE;
  }

  /** The lower order that looks like m at these angles; m itself where nothing does. */
  public int aliasOf(int m) {
    if (!equal || 2 * m <= count()) {
      return m;
    }
    int folded = m % count();
    return Math.min(folded, count() - folded);
  }
}
