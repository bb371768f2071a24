package org.fieldwright.core.simulation;

import java.util.ArrayList;
import java.util.List;
import org.fieldwright.core.geometry.GaussLegendre;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.SolidHarmonics;
import org.fieldwright.core.magnetostatics.Block;
import org.fieldwright.core.magnetostatics.CurrentLoop;
import org.fieldwright.core.magnetostatics.DipoleSeries;
import org.fieldwright.core.magnetostatics.FieldSource;
import org.fieldwright.core.magnetostatics.PointDipole;

/**
 * A magnet whose every source is known.
 *
 * @param fieldAxis unit vector along the main field
 * @param sources loops, stray iron, shim pieces
 */
public record VirtualMagnet(Vec3 fieldAxis, List<FieldSource> sources) {

  /** Gauss places along each side of a block: exact to order 7. */
  private static final int PLACES = 4;

  public VirtualMagnet {
    sources = List.copyOf(sources);
  }

  /**
   * Loops energised together, in the ratio of their currents, until |B| at the origin is the field
   * wanted with everything else in place.
   *
   * @param centreField T
   */
  public static VirtualMagnet energised(
      Vec3 fieldAxis,
      List<CurrentLoop> loops,
      List<? extends FieldSource> rest,
      double centreField) {
    Vec3 fromLoops = new VirtualMagnet(fieldAxis, List.copyOf(loops)).at(Vec3.ZERO);
    Vec3 fromRest = new VirtualMagnet(fieldAxis, List.copyOf(rest)).at(Vec3.ZERO);
    // |k L + R| = B: the positive root of a quadratic.
    double a = fromLoops.dot(fromLoops);
    double b = fromLoops.dot(fromRest);
    double c = fromRest.dot(fromRest) - centreField * centreField;
    double scale = (Math.sqrt(b * b - a * c) - b) / a;
    List<FieldSource> sources = new ArrayList<>();
    for (CurrentLoop loop : loops) {
      sources.add(
          new CurrentLoop(loop.centre(), loop.axis(), loop.radius(), loop.current() * scale));
    }
    sources.addAll(rest);
    return new VirtualMagnet(fieldAxis, sources);
  }

  /** The same magnet with more in it. */
  public VirtualMagnet with(List<? extends FieldSource> more) {
    List<FieldSource> all = new ArrayList<>(sources);
    all.addAll(more);
    return new VirtualMagnet(fieldAxis, all);
  }

  /** Flux density, T. */
  public Vec3 at(Vec3 p) {
    double x = 0;
    double y = 0;
    double z = 0;
    for (FieldSource source : sources) {
      Vec3 b = source.at(p);
      x += b.x();
      y += b.y();
      z += b.z();
    }
    return new Vec3(x, y, z);
  }

  /** What a probe of any orientation locks to: |B|, T. */
  public double magnitude(Vec3 p) {
    return at(p).norm();
  }

  /**
   * The component along the main field about the origin, T. Iron enters by its series, loops by
   * quadrature over the sphere, with twice as many planes and four times as many angles as the
   * degree, so that what lies above the degree does not fold into it before degree 3N.
   *
   * @param radius of the sphere and of reference, m; no source may lie inside
   */
  public Expansion expansion(int degree, double radius) {
    DipoleSeries iron = new DipoleSeries(degree, radius);
    List<FieldSource> others = new ArrayList<>();
    for (FieldSource source : sources) {
      if (source instanceof PointDipole dipole) {
        iron.add(dipole);
      } else if (source instanceof Block block) {
        block.dipoles(PLACES, PLACES, PLACES).forEach(iron::add);
      } else {
        others.add(source);
      }
    }
    Expansion rest = new VirtualMagnet(fieldAxis, others).byQuadrature(degree, radius);
    return iron.along(fieldAxis).plus(rest);
  }

  private Expansion byQuadrature(int degree, double radius) {
    GaussLegendre planes = GaussLegendre.of(2 * (degree + 1));
    int angles = 4 * (degree + 1);
    SolidHarmonics basis = new SolidHarmonics(degree, radius);
    double[] sum = new double[basis.count()];
    double[] harmonics = new double[basis.count()];
    for (int i = 0; i < planes.size(); i++) {
      for (int k = 0; k < angles; k++) {
        Vec3 p = Vec3.spherical(radius, Math.acos(planes.node(i)), 2 * Math.PI * k / angles);
        basis.evaluate(p.x(), p.y(), p.z(), harmonics, 0);
        double weighted = planes.weight(i) / (2 * angles) * at(p).dot(fieldAxis);
        for (int j = 0; j < sum.length; j++) {
          sum[j] += weighted * harmonics[j];
        }
      }
    }
    for (int n = 0; n <= degree; n++) {
      for (int j = n * n; j < (n + 1) * (n + 1); j++) {
        sum[j] *= 2 * n + 1; // the mean square of a Schmidt harmonic is 1/(2n+1)
      }
    }
    return new Expansion(radius, sum);
  }
}
