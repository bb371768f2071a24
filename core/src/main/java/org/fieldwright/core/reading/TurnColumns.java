package org.fieldwright.core.reading;

import java.util.List;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.SolidHarmonics;

/**
 * The solid harmonics at the probes of an array without their azimuth: S of degree n and order m at
 * {@code [probe · pairs + pair(n, m)]}.
 */
final class TurnColumns {
  final int degree;
  final int pairs;
  final int probes;
  final double[] value;

  /** Radius that the coefficients refer to, m. */
  final double reference;

  /** Of each probe, m. */
  final double[] radius;

  /** Distance of each probe from the axis, m. */
  final double[] fromAxis;

  /**
   * @param reference radius that the coefficients refer to, m
   */
  TurnColumns(List<Probe> array, int degree, double reference) {
    this.degree = degree;
    this.reference = reference;
    this.pairs = pair(degree, degree) + 1;
    this.probes = array.size();
    value = new double[probes * pairs];
    radius = new double[probes];
    fromAxis = new double[probes];
    SolidHarmonics basis = new SolidHarmonics(degree, reference);
    for (int p = 0; p < probes; p++) {
      double r = array.get(p).radius();
      double polar = array.get(p).polar();
      radius[p] = r;
      fromAxis[p] = Math.max(1e-3 * reference, r * Math.abs(Math.sin(polar)));
      double[] here = basis.evaluate(Vec3.spherical(r, polar, 0));
      for (int n = 0; n <= degree; n++) {
        for (int m = 0; m <= n; m++) {
          int k = n * n + Math.max(0, 2 * m - 1);
          value[p * pairs + pair(n, m)] = here[k];
        }
      }
    }
  }

  /** Place of degree n and order m. */
  static int pair(int n, int m) {
    return n * (n + 1) / 2 + m;
  }
}
