package org.fieldwright.core.magnetostatics;

import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.Term;

/**
 * A thin full ring of iron about the bore axis, magnetised along it: what a tray position does when
 * every tray holds the same.
 *
 * <pre>Bz = JV/(4π) Σ (n + 1)(n + 2) P_(n+2)(cos α) r^n P_n(cos θ) / r0^(n+3),   r &lt; r0</pre>
 *
 * <p>with r0, α its distance and polar angle from the origin (Roméo &amp; Hoult, Magn. Reson. Med.
 * 1 (1984) 44).
 *
 * @param radius metres
 * @param height of its plane, m
 * @param moment polarisation × volume of the whole ring, T·m³
 */
public record IronRing(double radius, double height, double moment) {

  /** The axial component about the origin, T. */
  public Expansion zonalExpansion(int degree, double referenceRadius) {
    double r0 = Math.hypot(radius, height);
    double[] legendre = ZonalNulls.legendre(degree + 2, height / r0);
    double[] coefficients = new double[Term.count(degree)];
    double scale = moment / (4 * Math.PI * r0 * r0 * r0);
    for (int n = 0; n <= degree; n++) {
      coefficients[n * n] = scale * (n + 1.0) * (n + 2.0) * legendre[n + 2];
      scale *= referenceRadius / r0;
    }
    return new Expansion(referenceRadius, coefficients);
  }
}
