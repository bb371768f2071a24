package org.fieldwright.core.correction;

import java.util.ArrayList;
import java.util.List;
import org.fieldwright.core.geometry.Vec3;

/** Finds where a planned field peaks on a surface, between the points of a grid. */
final class SurfacePeaks {
  private static final int REFINEMENTS = 3;

  /** A local extreme: side +1 for a maximum, −1 for a minimum. */
  record Peak(Vec3 place, int side, double ppm) {}

  private final TargetSurface surface;
  private final TargetPoints points;

  SurfacePeaks(TargetSurface surface, TargetPoints points) {
    this.surface = surface;
    this.points = points;
  }

  /**
   * Local extremes of the field beyond {@code centre ± beyond}, refined.
   *
   * @param values column values
   * @param field at the grid's points; read from {@code offset}
   */
  List<Peak> beyond(double[] values, double[] field, int offset, double centre, double beyond) {
    List<Peak> peaks = new ArrayList<>();
    for (int i = 0; i < surface.size(); i++) {
      double v = field[offset + i];
      int side = v > centre ? 1 : -1;
      if (side * (v - centre) > beyond && isExtreme(field, offset, i, side)) {
        peaks.add(refine(values, surface.point(i), side));
      }
    }
    return peaks;
  }

  private boolean isExtreme(double[] field, int offset, int i, int side) {
    for (int k : surface.neighbours(i)) {
      if (side * (field[offset + k] - field[offset + i]) > 0) {
        return false;
      }
    }
    return true;
  }

  /**
   * Climbs by quadratic fits on a 3 × 3 stencil in the tangent plane, projected on the surface; a
   * step that does not climb is not taken, so rims and poles are safe.
   */
  Peak refine(double[] values, Vec3 start, int side) {
    Vec3 best = start;
    double value = side * points.field(values, start);
    double reach = surface.spacing() / 2;
    for (int k = 0; k < REFINEMENTS; k++) {
      Vec3 out = best.unit();
      Vec3 u = (Math.abs(out.z()) < 0.9 ? Vec3.UNIT_Z : Vec3.UNIT_X).cross(out).unit();
      Vec3 v = out.cross(u);
      double h = reach * best.norm();
      Vec3 uStep = u.times(h);
      Vec3 vStep = v.times(h);
      double[] step = quadraticStep(stencil(values, best, uStep, vStep, side, value));
      Vec3 next = onSurface(best.plus(uStep.times(step[0])).plus(vStep.times(step[1])));
      double nextValue = side * points.field(values, next);
      if (nextValue > value) {
        best = next;
        value = nextValue;
      }
      reach /= 3;
    }
    return new Peak(best, side, side * value);
  }

  private Vec3 onSurface(Vec3 p) {
    return TargetSurface.onSurface(surface.volume(), p);
  }

  private double[] stencil(double[] values, Vec3 p, Vec3 u, Vec3 v, int side, double centre) {
    double[] f = new double[9];
    for (int k = 0; k < 9; k++) {
      Vec3 q = p.plus(u.times(k / 3 - 1)).plus(v.times(k % 3 - 1));
      f[k] = k == 4 ? centre : side * points.field(values, onSurface(q));
    }
    return f;
  }

  /**
   * Step to the top of the fitted quadratic, at most one stencil width; uphill where it has none.
   */
  private static double[] quadraticStep(double[] f) {
    double gu = (f[7] - f[1]) / 2;
    double gv = (f[5] - f[3]) / 2;
    double huu = f[7] - 2 * f[4] + f[1];
    double hvv = f[5] - 2 * f[4] + f[3];
    double huv = (f[8] - f[6] - f[2] + f[0]) / 4;
    double det = huu * hvv - huv * huv;
    double su = Math.signum(gu);
    double sv = Math.signum(gv);
    if (huu < 0 && det > 0) {
      su = -(hvv * gu - huv * gv) / det;
      sv = -(huu * gv - huv * gu) / det;
    }
    double longest = Math.max(1, Math.max(Math.abs(su), Math.abs(sv)));
    return new double[] {su / longest, sv / longest};
  }
}
