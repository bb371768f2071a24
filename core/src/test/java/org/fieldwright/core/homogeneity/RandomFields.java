package org.fieldwright.core.homogeneity;

import java.util.SplittableRandom;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.Term;

/** Fields with random coefficients, of the size and decay that magnets show. */
final class RandomFields {
  private RandomFields() {}

  /**
   * Normal coefficients whose size at R0 = 0.2 m falls by {@code ratio} for each degree, scaled to
   * a few hundred ppm in all.
   */
  static Expansion of(long seed, int degree, double ratio) {
    SplittableRandom random = new SplittableRandom(seed);
    double[] c = new double[Term.count(degree)];
    for (int i = 1; i < c.length; i++) {
      c[i] = 100 * Math.pow(ratio, Term.at(i).n() - 1) * random.nextGaussian();
    }
    return new Expansion(0.2, c);
  }
}
