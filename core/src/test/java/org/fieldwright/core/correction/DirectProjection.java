package org.fieldwright.core.correction;

import java.util.function.ToDoubleFunction;
import org.fieldwright.core.geometry.GaussLegendre;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.SolidHarmonics;
import org.fieldwright.core.harmonic.Term;

/** Harmonics of a field by a Gauss sum over a sphere; for fields whose high degrees are weak. */
final class DirectProjection {
  private static final int PLANES = 22;
  private static final int ANGLES = 44;

  private DirectProjection() {}

  static Expansion of(ToDoubleFunction<Vec3> field, int degree, double radius) {
    GaussLegendre rule = GaussLegendre.of(PLANES);
    SolidHarmonics basis = new SolidHarmonics(degree, radius);
    double[] c = new double[Term.count(degree)];
    for (int i = 0; i < PLANES; i++) {
      for (int k = 0; k < ANGLES; k++) {
        Vec3 p = Vec3.spherical(radius, Math.acos(rule.node(i)), 2 * Math.PI * k / ANGLES);
        double value = field.applyAsDouble(p) * rule.weight(i) / (2 * ANGLES);
        double[] h = basis.evaluate(p);
        for (int j = 0; j < c.length; j++) {
          c[j] += value * h[j] * (2 * Term.at(j).n() + 1);
        }
      }
    }
    return new Expansion(radius, c);
  }
}
