package org.fieldwright.core.harmonic;

import java.util.ArrayList;
import java.util.List;

/**
 * What no survey can tell of itself: the whole array may have stood displaced, or its zero turned.
 * The same for all its readings, so it does not average out.
 */
public final class PlacementPatterns {
  private PlacementPatterns() {}

  /**
   * What one standard displacement in each direction, and one standard turn, would look like, as
   * coefficients at the field's reference radius.
   *
   * @param placement displacement of the whole array, each direction, one standard uncertainty, m
   * @param turn of the array's zero, one standard uncertainty, rad
   */
  public static List<double[]> of(Expansion field, int degree, double placement, double turn) {
    List<double[]> patterns = new ArrayList<>();
    if (placement > 0) {
      for (Expansion slope : field.gradient()) {
        patterns.add(slope.withDegree(degree).times(placement).coefficients());
      }
    }
    if (turn > 0) {
      patterns.add(aboutZ(field).withDegree(degree).times(turn).coefficients());
    }
    return patterns;
  }

  /** ∂B/∂φ: a cos mφ + b sin mφ becomes m b cos mφ − m a sin mφ. */
  private static Expansion aboutZ(Expansion field) {
    double[] c = field.coefficients();
    double[] out = new double[c.length];
    for (int n = 1; n <= field.degree(); n++) {
      for (int m = 1; m <= n; m++) {
        int cos = Term.index(n, m, Term.Part.COS);
        int sin = Term.index(n, m, Term.Part.SIN);
        out[cos] = m * c[sin];
        out[sin] = -m * c[cos];
      }
    }
    return new Expansion(field.referenceRadius(), out);
  }
}
