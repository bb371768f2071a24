package org.fieldwright.core.homogeneity;

import java.util.Arrays;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.geometry.Volume;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.Term;
import org.fieldwright.core.homogeneity.LimitResult.Extreme;
import org.jspecify.annotations.Nullable;

/**
 * The global maximum and minimum of a field on the surface of a volume. By the maximum principle
 * they are its extremes in the whole source-free volume.
 *
 * <p>A grid fine enough for the field's degree is evaluated ring by ring; every grid summit that
 * could still hide the true one is climbed by Newton's method on the surface, edges of a cylinder
 * included. "Could still hide" is a bound, not a guess: the part B_n of degree n is at most ‖c_n‖
 * (R/R0)^n (addition theorem, Schmidt), and its second derivative along the surface's parameters at
 * most n² times that (Bernstein's inequality), so no value between grid points exceeds the nearest
 * of them by more than {@code Σ n²‖c_n‖(R/R0)^n · step²/4}. High degrees that are too weak to
 * matter to the grid are left out of it, with a bound on what they add; the climbs use them all.
 *
 * <p>Ellipsoids are carried to the unit sphere first. Accuracy: rounding (≈ 1e-12 of the field's
 * amplitude). Holds a grid and work arrays that are used again for the next field of like degree:
 * one thread at a time.
 */
public final class SurfaceExtremes {
  /** A grid for no lower degree: so that the simplest fields have room for their two summits. */
  private static final int LEAST_GRID_DEGREE = 3;

  /** Degrees whose sum is below this share of the whole are left out of the grid. */
  private static final double NEGLIGIBLE = 1e-3;

  private final Volume volume;
  private final Volume searched;
  private final @Nullable EllipsoidOnSphere carrier;
  private @Nullable SurfaceGrid grid;
  private double gridReferenceRadius;

  public SurfaceExtremes(Volume volume) {
    this.volume = volume;
    if (volume instanceof Volume.Ellipsoid e) {
      carrier = new EllipsoidOnSphere(e);
      searched = new Volume.Sphere(1);
    } else {
      carrier = null;
      searched = volume;
    }
  }

  /** The extremes of one field on one surface. */
  public static Extremes of(Expansion field, Volume volume) {
    return new SurfaceExtremes(volume).of(field);
  }

  /** The extremes of a field. */
  public Extremes of(Expansion field) {
    Expansion onSearched = carrier == null ? field : carrier.carry(field);
    double[] bounds = degreeBounds(onSearched);
    SurfaceGrid g = gridFor(onSearched, bounds);
    g.evaluate(onSearched.coefficients());
    double slack = slack(bounds, g);
    LocalField local = new LocalField(onSearched);
    SurfaceClimb climb = new SurfaceClimb(searched, 2 * g.step() * searched.outerRadius());
    return new Extremes(
        extreme(field, g, slack, local, climb, 1), extreme(field, g, slack, local, climb, -1));
  }

  /** ‖c_n‖ (R/R0)^n: no point of the volume sees more of degree n. */
  private double[] degreeBounds(Expansion field) {
    double[] c = field.coefficients();
    double[] bounds = new double[field.degree() + 1];
    double power = 1;
    for (int n = 0; n < bounds.length; n++) {
      double sum = 0;
      for (int i = n * n; i < Term.count(n); i++) {
        sum += c[i] * c[i];
      }
      bounds[n] = Math.sqrt(sum) * power;
      power *= searched.outerRadius() / field.referenceRadius();
    }
    return bounds;
  }

  private SurfaceGrid gridFor(Expansion field, double[] bounds) {
    double total = 0;
    for (int n = 1; n < bounds.length; n++) {
      total += bounds[n];
    }
    int degree = bounds.length - 1;
    double tail = 0;
    while (degree > LEAST_GRID_DEGREE && tail + bounds[degree] <= NEGLIGIBLE * total) {
      tail += bounds[degree--];
    }
    degree = Math.max(degree, LEAST_GRID_DEGREE);
    SurfaceGrid g = grid;
    if (g == null || g.degree() != degree || gridReferenceRadius != field.referenceRadius()) {
      g = new SurfaceGrid(searched, degree, field.referenceRadius());
      grid = g;
      gridReferenceRadius = field.referenceRadius();
    }
    return g;
  }

  /** By how much the true extreme may exceed the best grid value. */
  private static double slack(double[] bounds, SurfaceGrid g) {
    double curvature = 0;
    double tail = 0;
    for (int n = 1; n < bounds.length; n++) {
      if (n <= g.degree()) {
        curvature += (double) n * n * bounds[n];
      } else {
        tail += bounds[n];
      }
    }
    return curvature * g.step() * g.step() / 4 + 2 * tail;
  }

  private Extreme extreme(
      Expansion field,
      SurfaceGrid g,
      double slack,
      LocalField local,
      SurfaceClimb climb,
      int sign) {
    double bestOnGrid = Double.NEGATIVE_INFINITY;
    for (int i = 0; i < g.points(); i++) {
      bestOnGrid = Math.max(bestOnGrid, sign * g.value(i));
    }
    int[] summits = summits(g, bestOnGrid - slack, sign);
    double[] best = new double[3];
    double highest = Double.NEGATIVE_INFINITY;
    double[] p = new double[3];
    for (int summit : summits) {
      if (sign * g.value(summit) + slack < highest) {
        break;
      }
      double phi = g.azimuth(summit);
      p[0] = g.rho(summit) * Math.cos(phi);
      p[1] = g.rho(summit) * Math.sin(phi);
      p[2] = g.z(summit);
      double value = sign * climbOver(local, climb, p, sign);
      if (value > highest) {
        highest = value;
        System.arraycopy(p, 0, best, 0, 3);
      }
    }
    Vec3 at = onVolume(best);
    return new Extreme(field.at(at), at);
  }

  /** Grid summits at least as high as the threshold, highest first. */
  private static int[] summits(SurfaceGrid g, double threshold, int sign) {
    int[] found = new int[16];
    int count = 0;
    for (int i = 0; i < g.points(); i++) {
      if (sign * g.value(i) >= threshold && g.isSummit(i, sign)) {
        if (count == found.length) {
          found = Arrays.copyOf(found, 2 * count);
        }
        int k = count++;
        for (; k > 0 && sign * g.value(found[k - 1]) < sign * g.value(i); k--) {
          found[k] = found[k - 1];
        }
        found[k] = i;
      }
    }
    return Arrays.copyOf(found, count);
  }

  /** Climbs on the piece of the surface at p and, over an edge, on to the next piece. */
  private static double climbOver(LocalField local, SurfaceClimb climb, double[] p, int sign) {
    double value = climb.climb(local, climb.pieceAt(p), p, sign);
    while (climb.onEdge(p)) {
      double higher = climb.climb(local, SurfaceClimb.Piece.CAP, p, sign);
      if (climb.onEdge(p)) {
        higher = climb.climb(local, SurfaceClimb.Piece.SIDE, p, sign);
      }
      if (sign * (higher - value) <= 0) {
        break;
      }
      value = higher;
    }
    return value;
  }

  private Vec3 onVolume(double[] p) {
    if (volume instanceof Volume.Ellipsoid e) {
      return new Vec3(e.semiX() * p[0], e.semiY() * p[1], e.semiZ() * p[2]);
    }
    return new Vec3(p[0], p[1], p[2]);
  }
}
