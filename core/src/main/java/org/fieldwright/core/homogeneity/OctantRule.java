package org.fieldwright.core.homogeneity;

import java.util.Arrays;
import org.fieldwright.core.geometry.GaussLegendre;
import org.fieldwright.core.geometry.Volume;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.SolidHarmonics;
import org.fieldwright.core.harmonic.Term;

/**
 * Quadrature over a volume, or its surface, of products of two harmonics.
 *
 * <p>The volumes are symmetric about the three coordinate planes. Harmonics fall into {@value
 * #CLASSES} classes by their signs under the three reflections (sine or cosine, order even or odd,
 * degree even or odd); products across classes integrate to zero, products within a class need the
 * first octant alone.
 *
 * <p>Exact for degrees up to the stated one on a cylinder (volume and surface) and on the volume of
 * an ellipsoid: Gauss–Legendre in z and ρ² or cos θ, equal azimuths. On an ellipsoid a harmonic of
 * degree n grows as s^n along a ray, so that the mean over the volume is the mean over directions
 * times 3/(n + n' + 3). On an ellipsoid's surface the area element is no polynomial; {@value
 * #SPARE} further degrees make the error below 1e-10 of the mean square for axis ratios up to 2.
 */
final class OctantRule {
  static final int CLASSES = 8;
  private static final int SPARE = 40;

  private final double[] x;
  private final double[] y;
  private final double[] z;
  private final double[] weight;
  private final boolean alongRays;
  private int used;

  private OctantRule(int points, boolean alongRays) {
    x = new double[points];
    y = new double[points];
    z = new double[points];
    weight = new double[points];
    this.alongRays = alongRays;
  }

  /**
   * @param measure {@link Limit.Measure#VOLUME_RMS} or {@link Limit.Measure#SURFACE_RMS}
   * @param degree highest degree of the harmonics that will be multiplied
   */
  static OctantRule of(Volume volume, Limit.Measure measure, int degree) {
    boolean surface = measure == Limit.Measure.SURFACE_RMS;
    if (volume instanceof Volume.Cylinder c) {
      return surface ? cylinderSurface(c, degree) : cylinderVolume(c, degree);
    }
    if (volume instanceof Volume.Ellipsoid e) {
      return ellipsoid(e, surface, surface ? degree + SPARE : degree);
    }
    throw new IllegalArgumentException("spheres have a closed form");
  }

  private static OctantRule ellipsoid(Volume.Ellipsoid e, boolean surface, int degree) {
    GaussLegendre polar = GaussLegendre.of(evenAbove(degree));
    int quarter = degree / 2 + 1;
    OctantRule rule = new OctantRule(polar.size() / 2 * quarter, !surface);
    for (int i = 0; i < polar.size() / 2; i++) {
      double w = polar.node(i);
      double sin = Math.sqrt((1 - w) * (1 + w));
      for (int j = 0; j < quarter; j++) {
        double phi = Math.PI / 2 * (j + 0.5) / quarter;
        double u = sin * Math.cos(phi);
        double v = sin * Math.sin(phi);
        // The area of an ellipsoid per solid angle of u, over its volume: the length of n/axes.
        double area =
            surface
                ? Math.sqrt(square(u / e.semiX()) + square(v / e.semiY()) + square(w / e.semiZ()))
                : 1;
        rule.add(e.semiX() * u, e.semiY() * v, e.semiZ() * w, polar.weight(i) * area);
      }
    }
    return rule.normalised();
  }

  private static OctantRule cylinderVolume(Volume.Cylinder c, int degree) {
    GaussLegendre axial = GaussLegendre.of(evenAbove(degree));
    GaussLegendre radial = GaussLegendre.of(degree / 2 + 1);
    int quarter = degree / 2 + 1;
    OctantRule rule = new OctantRule(axial.size() / 2 * radial.size() * quarter, false);
    for (int i = 0; i < axial.size() / 2; i++) {
      rule.addDisc(c.radius(), c.halfLength() * axial.node(i), radial, quarter, axial.weight(i));
    }
    return rule.normalised();
  }

  private static OctantRule cylinderSurface(Volume.Cylinder c, int degree) {
    GaussLegendre axial = GaussLegendre.of(evenAbove(degree));
    GaussLegendre radial = GaussLegendre.of(degree / 2 + 1);
    int quarter = degree / 2 + 1;
    OctantRule rule = new OctantRule((axial.size() / 2 + radial.size()) * quarter, false);
    // Areas: two caps 2πR², side 4πRh. The weights of a disc sum to 2, those of half the axis to 1.
    rule.addDisc(c.radius(), c.halfLength(), radial, quarter, c.radius() / 2);
    for (int i = 0; i < axial.size() / 2; i++) {
      double height = c.halfLength() * axial.node(i);
      rule.addCircle(c.radius(), height, quarter, 2 * c.halfLength() * axial.weight(i));
    }
    return rule.normalised();
  }

  private void addDisc(double radius, double height, GaussLegendre radial, int quarter, double w) {
    for (int k = 0; k < radial.size(); k++) {
      double rho = radius * Math.sqrt((1 + radial.node(k)) / 2);
      addCircle(rho, height, quarter, w * radial.weight(k));
    }
  }

  private void addCircle(double rho, double height, int quarter, double w) {
    for (int j = 0; j < quarter; j++) {
      double phi = Math.PI / 2 * (j + 0.5) / quarter;
      add(rho * Math.cos(phi), rho * Math.sin(phi), height, w / quarter);
    }
  }

  private void add(double px, double py, double pz, double w) {
    x[used] = px;
    y[used] = py;
    z[used] = pz;
    weight[used++] = w;
  }

  private OctantRule normalised() {
    double sum = 0;
    for (double w : weight) {
      sum += w;
    }
    for (int i = 0; i < weight.length; i++) {
      weight[i] /= sum;
    }
    return this;
  }

  private static double square(double v) {
    return v * v;
  }

  /** Enough Gauss nodes for twice the degree, and an even number: none on the symmetry plane. */
  private static int evenAbove(int degree) {
    return (degree + 2) / 2 * 2;
  }

  /** Which products do not vanish: terms of the same class. */
  static int classOf(int index) {
    Term t = Term.at(index);
    return (t.part() == Term.Part.SIN ? 1 : 0)
        + (t.m() % 2 == 0 ? 0 : 2)
        + (t.n() % 2 == 0 ? 0 : 4);
  }

  /** RMS of a field about its mean. */
  double rms(Expansion field) {
    SolidHarmonics basis = new SolidHarmonics(field.degree(), field.referenceRadius());
    double[] h = new double[basis.count()];
    double[] c = field.coefficients();
    int[] classes = classes(basis.count());
    double[][] part = new double[CLASSES][field.degree() + 1];
    double mean = 0;
    double square = 0;
    for (int i = 0; i < used; i++) {
      basis.evaluate(x[i], y[i], z[i], h, 0);
      for (double[] byDegree : part) {
        Arrays.fill(byDegree, 0);
      }
      for (int n = 1, k = 1; n <= field.degree(); n++) {
        for (; k < Term.count(n); k++) {
          part[classes[k]][n] += c[k] * h[k];
        }
      }
      for (int n = 2; n <= field.degree(); n += 2) {
        mean += weight[i] * part[0][n] * alongRay(n);
      }
      for (double[] byDegree : part) {
        square += weight[i] * squareOf(byDegree);
      }
    }
    return Math.sqrt(Math.max(0, square - mean * mean));
  }

  private double squareOf(double[] byDegree) {
    double sum = 0;
    for (int n = 1; n < byDegree.length; n++) {
      for (int k = n; k >= 1; k -= 2) {
        sum += (k == n ? 1 : 2) * byDegree[n] * byDegree[k] * alongRay(n + k);
      }
    }
    return sum;
  }

  /**
   * Adds the mean products, about the mean, of the harmonics of one class.
   *
   * @param indices of the class, n ≥ 1
   * @param into row-major, one row for each index
   */
  void addProducts(SolidHarmonics basis, int[] indices, double[] into) {
    double[] h = new double[basis.count()];
    double[] means = new double[indices.length];
    double[] g = new double[indices.length];
    int[] n = new int[indices.length];
    for (int a = 0; a < n.length; a++) {
      n[a] = Term.at(indices[a]).n();
    }
    boolean hasMean = indices.length > 0 && classOf(indices[0]) == 0;
    for (int i = 0; i < used; i++) {
      basis.evaluate(x[i], y[i], z[i], h, 0);
      for (int a = 0; a < g.length; a++) {
        g[a] = h[indices[a]];
        means[a] += hasMean ? weight[i] * g[a] * alongRay(n[a]) : 0;
      }
      for (int a = 0; a < g.length; a++) {
        double weighted = weight[i] * g[a];
        for (int b = 0; b < g.length; b++) {
          into[a * g.length + b] += weighted * g[b];
        }
      }
    }
    for (int a = 0; a < g.length; a++) {
      for (int b = 0; b < g.length; b++) {
        int k = a * g.length + b;
        into[k] = into[k] * alongRay(n[a] + n[b]) - means[a] * means[b];
      }
    }
  }

  /** Mean of s^degree over a ray of the volume. */
  private double alongRay(int degree) {
    return alongRays ? 3.0 / (degree + 3) : 1;
  }

  private static int[] classes(int count) {
    int[] classes = new int[count];
    for (int k = 0; k < count; k++) {
      classes[k] = classOf(k);
    }
    return classes;
  }
}
