package org.fieldwright.core.homogeneity;

import org.fieldwright.core.geometry.Volume;

/**
 * Newton ascent (or descent) of a field on a smooth piece of a surface: a sphere, the side of a
 * cylinder, or one of its caps. Pieces with an edge are bounded by it: where the field would rise
 * across the edge, the climb goes on along the edge.
 *
 * <p>Second derivatives along the surface are those of space plus the field's slope along the
 * normal times the surface's curvature. Where they do not describe a summit the absolute values of
 * their eigenvalues are used, so that each step goes uphill; a step that does not gain is halved.
 */
final class SurfaceClimb {
  private static final int MAX_STEPS = 60;
  private static final int MAX_HALVINGS = 20;

  /** A step of this share of the radius changes the value by its square only: the climb is done. */
  private static final double SETTLED = 1e-8;

  /** Which smooth piece of the surface. */
  enum Piece {
    SPHERE,
    SIDE,
    CAP
  }

  private final double radius;
  private final double halfLength;
  private final double longestStep;
  private final double[] along = new double[3]; // unit tangent in azimuth
  private final double[] across = new double[3]; // unit tangent towards the edge or the pole
  private final double[] outward = new double[3]; // unit normal of the circle or sphere
  private final double[] step = new double[2];
  private final double[] trial = new double[3];

  /**
   * @param volume a sphere or a cylinder
   * @param longestStep m
   */
  SurfaceClimb(Volume volume, double longestStep) {
    if (volume instanceof Volume.Sphere s) {
      radius = s.radius();
      halfLength = 0;
    } else if (volume instanceof Volume.Cylinder c) {
      radius = c.radius();
      halfLength = c.halfLength();
    } else {
      throw new IllegalArgumentException("no climb on " + volume);
    }
    this.longestStep = longestStep;
  }

  /** Whether the point lies where a cylinder's side and cap meet. */
  boolean onEdge(double[] p) {
    return halfLength > 0
        && Math.abs(p[2]) >= halfLength
        && Math.hypot(p[0], p[1]) >= radius * (1 - 1e-14);
  }

  /** The piece a point of the surface belongs to; the side, where two meet. */
  Piece pieceAt(double[] p) {
    if (halfLength == 0) {
      return Piece.SPHERE;
    }
    return onEdge(p) || Math.abs(p[2]) < halfLength ? Piece.SIDE : Piece.CAP;
  }

  /** Moves p to the summit (sign +1) or hollow (−1) above or below it; returns the field there. */
  double climb(LocalField field, Piece piece, double[] p, int sign) {
    double value = field.differentiateAt(p);
    for (int i = 0; i < MAX_STEPS; i++) {
      frame(piece, p);
      boolean edge = propose(field, piece, p, sign);
      double length = Math.hypot(step[0], step[1]);
      double factor = length > longestStep ? longestStep / length : 1;
      double next = value;
      int halvings = 0;
      for (; halvings < MAX_HALVINGS; halvings++, factor /= 2) {
        move(edge ? Piece.SIDE : piece, p, factor);
        next = field.valueAt(trial);
        if (sign * (next - value) > 0) {
          break;
        }
        if (factor * length < SETTLED * radius) {
          return value;
        }
      }
      if (halvings == MAX_HALVINGS) {
        return value;
      }
      System.arraycopy(trial, 0, p, 0, 3);
      if (factor * length < SETTLED * radius) {
        return next;
      }
      value = field.differentiateAt(p);
    }
    return value;
  }

  private void frame(Piece piece, double[] p) {
    double rho = Math.hypot(p[0], p[1]);
    double cos = rho > 0 ? p[0] / rho : 1;
    double sin = rho > 0 ? p[1] / rho : 0;
    set(along, -sin, cos, 0);
    if (piece == Piece.SPHERE) {
      set(outward, p[0] / radius, p[1] / radius, p[2] / radius);
      double w = p[2] / radius;
      set(across, cos * w, sin * w, -rho / radius);
    } else {
      set(outward, cos, sin, 0);
      if (piece == Piece.SIDE) {
        set(across, 0, 0, 1);
      } else {
        set(across, cos, sin, 0);
      }
    }
  }

  /** Sets the step; true if it is held to the edge, where it is one along the edge alone. */
  private boolean propose(LocalField field, Piece piece, double[] p, int sign) {
    double g1 = sign * field.slope(along);
    double g2 = sign * field.slope(across);
    double bend = sign * field.slope(outward) / radius;
    double h11 = sign * field.curvature(along, along);
    double h12 = sign * field.curvature(along, across);
    double h22 = sign * field.curvature(across, across);
    boolean edge =
        piece != Piece.SPHERE && onEdge(p) && (piece == Piece.SIDE ? g2 * p[2] >= 0 : g2 >= 0);
    if (edge) {
      step[0] = g1 / Math.max(Math.abs(h11 - bend), Double.MIN_NORMAL);
      step[1] = 0;
      return true;
    }
    if (piece != Piece.CAP) {
      h11 -= bend;
    }
    if (piece == Piece.SPHERE) {
      h22 -= bend;
    }
    uphill(g1, g2, h11, h12, h22);
    return false;
  }

  /** |H|⁻¹ g by the eigenvalues of the 2 × 2 matrix H. */
  private void uphill(double g1, double g2, double h11, double h12, double h22) {
    double angle = 0.5 * Math.atan2(2 * h12, h11 - h22);
    double c = Math.cos(angle);
    double s = Math.sin(angle);
    double mean = (h11 + h22) / 2;
    double half = Math.hypot((h11 - h22) / 2, h12);
    double floor = Math.max(1e-12 * (Math.abs(mean) + half), Double.MIN_NORMAL);
    double u = (c * g1 + s * g2) / Math.max(Math.abs(mean + half), floor);
    double v = (-s * g1 + c * g2) / Math.max(Math.abs(mean - half), floor);
    step[0] = c * u - s * v;
    step[1] = s * u + c * v;
  }

  private void move(Piece piece, double[] p, double factor) {
    double a = factor * step[0];
    double b = factor * step[1];
    if (piece == Piece.SIDE) {
      double turn = a / radius;
      double cos = Math.cos(turn);
      double sin = Math.sin(turn);
      double height = Math.max(-halfLength, Math.min(halfLength, p[2] + b));
      set(trial, p[0] * cos - p[1] * sin, p[0] * sin + p[1] * cos, height);
      return;
    }
    for (int i = 0; i < 3; i++) {
      trial[i] = p[i] + a * along[i] + b * across[i];
    }
    if (piece == Piece.SPHERE) {
      double scale =
          radius / Math.sqrt(trial[0] * trial[0] + trial[1] * trial[1] + trial[2] * trial[2]);
      set(trial, trial[0] * scale, trial[1] * scale, trial[2] * scale);
    } else {
      double rho = Math.hypot(trial[0], trial[1]);
      if (rho > radius) {
        set(trial, trial[0] * radius / rho, trial[1] * radius / rho, trial[2]);
      }
    }
  }

  private static void set(double[] v, double x, double y, double z) {
    v[0] = x;
    v[1] = y;
    v[2] = z;
  }
}
