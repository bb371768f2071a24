package org.fieldwright.core.homogeneity;

import java.util.Arrays;
import java.util.function.BiFunction;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.geometry.Volume;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.SolidHarmonics;

/**
 * The slow reference: every point of a dense two-parameter grid, then a derivative-free pattern
 * search from each of the best grid points. Shares nothing with the fast search but the basis.
 */
final class DenseSearch {
  private static final int STARTS = 12;

  private final SolidHarmonics basis;
  private final double[] h;
  private final double[] c;

  DenseSearch(Expansion field) {
    basis = new SolidHarmonics(field.degree(), field.referenceRadius());
    h = new double[basis.count()];
    c = field.coefficients();
  }

  /** Largest value of sign × field on the surface, as a field value. */
  double extreme(Volume volume, double stepDeg, int sign) {
    if (volume instanceof Volume.Sphere s) {
      return search((t, p) -> Vec3.spherical(s.radius(), t, p), 0, Math.PI, stepDeg, sign);
    }
    if (volume instanceof Volume.Ellipsoid e) {
      BiFunction<Double, Double, Vec3> surface =
          (t, p) -> {
            Vec3 u = Vec3.spherical(1, t, p);
            return new Vec3(e.semiX() * u.x(), e.semiY() * u.y(), e.semiZ() * u.z());
          };
      return search(surface, 0, Math.PI, stepDeg, sign);
    }
    Volume.Cylinder y = (Volume.Cylinder) volume;
    double side =
        search(
            (t, p) -> Vec3.cylindrical(y.radius(), p, y.halfLength() * Math.cos(t)),
            0,
            Math.PI,
            stepDeg,
            sign);
    double top =
        search(
            (t, p) -> Vec3.cylindrical(y.radius() * Math.sin(t), p, y.halfLength()),
            0,
            Math.PI / 2,
            stepDeg,
            sign);
    double bottom =
        search(
            (t, p) -> Vec3.cylindrical(y.radius() * Math.sin(t), p, -y.halfLength()),
            0,
            Math.PI / 2,
            stepDeg,
            sign);
    return sign * Math.max(sign * side, Math.max(sign * top, sign * bottom));
  }

  private double search(
      BiFunction<Double, Double, Vec3> surface, double from, double to, double stepDeg, int sign) {
    int rows = (int) Math.round(Math.toDegrees(to - from) / stepDeg);
    int columns = (int) Math.round(360 / stepDeg);
    double[] bestValue = new double[STARTS];
    double[][] best = new double[STARTS][2];
    Arrays.fill(bestValue, Double.NEGATIVE_INFINITY);
    for (int i = 0; i <= rows; i++) {
      for (int j = 0; j < columns; j++) {
        double t = from + (to - from) * i / rows;
        double p = 2 * Math.PI * j / columns;
        keep(bestValue, best, sign * value(surface.apply(t, p)), t, p, 4 * Math.toRadians(stepDeg));
      }
    }
    double top = Double.NEGATIVE_INFINITY;
    for (int k = 0; k < STARTS && bestValue[k] > Double.NEGATIVE_INFINITY; k++) {
      top = Math.max(top, refine(surface, best[k], from, to, Math.toRadians(stepDeg), sign));
    }
    return sign * top;
  }

  /** Keeps the best starts that are not neighbours of a better one. */
  private static void keep(
      double[] values, double[][] places, double v, double t, double p, double apart) {
    if (v <= values[STARTS - 1]) {
      return;
    }
    int slot = STARTS - 1;
    for (int k = 0; k < STARTS; k++) {
      boolean near = Math.abs(places[k][0] - t) < apart && Math.abs(places[k][1] - p) < apart;
      if (near && values[k] > Double.NEGATIVE_INFINITY) {
        if (values[k] >= v) {
          return;
        }
        slot = k;
        break;
      }
    }
    for (; slot > 0 && values[slot - 1] < v; slot--) {
      values[slot] = values[slot - 1];
      places[slot] = places[slot - 1];
    }
    values[slot] = v;
    places[slot] = new double[] {t, p};
  }

  private double refine(
      BiFunction<Double, Double, Vec3> surface,
      double[] start,
      double from,
      double to,
      double step,
      int sign) {
    double t = start[0];
    double p = start[1];
    double v = sign * value(surface.apply(t, p));
    while (step > 1e-9) {
      boolean moved = false;
      for (int k = 0; k < 8; k++) {
        double nt = Math.max(from, Math.min(to, t + step * Math.cos(k * Math.PI / 4)));
        double np = p + step * Math.sin(k * Math.PI / 4);
        double nv = sign * value(surface.apply(nt, np));
        if (nv > v) {
          v = nv;
          t = nt;
          p = np;
          moved = true;
        }
      }
      if (!moved) {
        step /= 2;
      }
    }
    return v;
  }

  private double value(Vec3 at) {
    basis.evaluate(at.x(), at.y(), at.z(), h, 0);
    double sum = 0;
    for (int i = 0; i < h.length; i++) {
      sum += c[i] * h[i];
    }
    return sum;
  }
}
