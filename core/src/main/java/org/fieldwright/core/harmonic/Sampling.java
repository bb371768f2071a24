package org.fieldwright.core.harmonic;

import java.util.Arrays;
import org.fieldwright.core.geometry.Vec3;

/**
 * Where a field was sampled, and how much each sample weighs.
 *
 * <p>Points of a turning array carry the place of their probe and of their angle in the array's
 * lists; free points carry −1 for both. Immutable.
 */
public final class Sampling {
  private final Vec3[] points;
  private final double[] rootWeight;
  private final int[] probe;
  private final int[] angle;

  /**
   * @param points metres
   * @param rootWeight √weight of each; only ratios matter
   * @param probe index of the probe, or −1
   * @param angle index of the angle, or −1
   */
  public Sampling(Vec3[] points, double[] rootWeight, int[] probe, int[] angle) {
    if (points.length != rootWeight.length
        || points.length != probe.length
        || points.length != angle.length) {
      throw new IllegalArgumentException("points, weights and labels differ in number");
    }
    this.points = points.clone();
    this.rootWeight = rootWeight.clone();
    this.probe = probe.clone();
    this.angle = angle.clone();
  }

  /** Points of equal weight without labels. */
  public static Sampling ofFreePoints(Vec3[] points) {
    double[] ones = new double[points.length];
    int[] none = new int[points.length];
    Arrays.fill(ones, 1);
    Arrays.fill(none, -1);
    return new Sampling(points, ones, none, none);
  }

  public int size() {
    return points.length;
  }

  public Vec3 point(int i) {
    return points[i];
  }

  public double rootWeight(int i) {
    return rootWeight[i];
  }

  /** Index of the probe, or −1. */
  public int probe(int i) {
    return probe[i];
  }

  /** Index of the angle, or −1. */
  public int angle(int i) {
    return angle[i];
  }

  /** One more than the largest index of a probe; 0 for free points. */
  public int probes() {
    return count(probe);
  }

  /** One more than the largest index of an angle; 0 for free points. */
  public int angles() {
    return count(angle);
  }

  private static int count(int[] index) {
    return Arrays.stream(index).max().orElse(-1) + 1;
  }

  /** The largest distance of a point from the origin, m. */
  public double outerRadius() {
    double r = 0;
    for (Vec3 p : points) {
      r = Math.max(r, p.norm());
    }
    return r;
  }

  /** Slope of a field at each point, in its unit per metre. */
  public Vec3[] slopes(Expansion field) {
    Expansion[] gradient = field.gradient();
    Vec3[] slopes = new Vec3[points.length];
    for (int i = 0; i < slopes.length; i++) {
      slopes[i] = Expansion.at(gradient, points[i]);
    }
    return slopes;
  }

  /** Whether all weights are the same. */
  boolean equallyWeighted() {
    for (double w : rootWeight) {
      if (w != rootWeight[0]) {
        return false;
      }
    }
    return true;
  }
}
