package org.fieldwright.core.reading;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.Sampling;

/**
 * A fault under suspicion that a probe's or an angle's readings share.
 *
 * @param label an {@link OfProbe} or an {@link OfAngle}
 * @param pattern weighted effect on each row of one ppm (probe) or one radian (angle)
 * @param stated how large it may be by what is stated, in the same unit
 */
@SuppressWarnings("ArrayRecordComponent") // made once for a search, never compared
record SharedFault(Object label, double[] pattern, double stated) {

  /** Probe by its index in the sampling. */
  record OfProbe(int probe) {}

  /** Angle by its index in the sampling. */
  record OfAngle(int angle) {}

  /**
   * Every probe and every angle of a turning array as a suspect; none for free points.
   *
   * @param field in ppm, whose slope an error of place or angle follows
   * @param halfTurn half of each angle's error found so far, by its index: where its slope speaks
   *     for the whole step
   */
  static List<SharedFault> all(
      Sampling s,
      Expansion field,
      Map<Integer, Double> halfTurn,
      FaultSearch.Tolerances tolerances) {
    if (s.size() == 0 || s.probe(0) < 0) {
      return List.of();
    }
    Vec3[] gradient = gradients(s, field, halfTurn);
    List<SharedFault> all = new ArrayList<>();
    for (int p = 0; p < s.probes(); p++) {
      all.add(ofProbe(s, p, gradient, tolerances));
    }
    for (int a = 0; a < s.angles(); a++) {
      all.add(ofAngle(s, a, gradient, tolerances));
    }
    return all;
  }

  /**
   * Standard deviation of what the stated errors of place and angle make of each reading, ppm; the
   * angle is that of a turning array.
   *
   * @param field in ppm
   */
  static double[] misplaced(Sampling s, Expansion field, FaultSearch.Tolerances tolerances) {
    double[] ppm = new double[s.size()];
    if (tolerances.position() == 0 && tolerances.angle() == 0) {
      return ppm;
    }
    Vec3[] gradient = s.slopes(field);
    for (int i = 0; i < ppm.length; i++) {
      double place = tolerances.position() * gradient[i].norm();
      ppm[i] = Math.hypot(place, tolerances.angle() * alongTurn(s.point(i), gradient[i]));
    }
    return ppm;
  }

  /** ∂/∂φ, per radian. */
  private static double alongTurn(Vec3 p, Vec3 gradient) {
    return p.cross(gradient).z();
  }

  /** Slope of the field at each row; for an angle known to be wrong, half-way to where it was. */
  private static Vec3[] gradients(Sampling s, Expansion field, Map<Integer, Double> halfTurn) {
    Expansion[] d = field.gradient();
    Vec3[] g = new Vec3[s.size()];
    for (int i = 0; i < g.length; i++) {
      double turn = halfTurn.getOrDefault(s.angle(i), 0.0);
      Vec3 p = turned(s.point(i), turn);
      g[i] = turned(Expansion.at(d, p), -turn);
    }
    return g;
  }

  private static Vec3 turned(Vec3 v, double phi) {
    double c = Math.cos(phi);
    double s = Math.sin(phi);
    return new Vec3(c * v.x() - s * v.y(), s * v.x() + c * v.y(), v.z());
  }

  private static SharedFault ofProbe(
      Sampling s, int probe, Vec3[] gradient, FaultSearch.Tolerances tolerances) {
    double[] pattern = new double[s.size()];
    double steep = 0;
    int count = 0;
    for (int i = 0; i < s.size(); i++) {
      if (s.probe(i) == probe) {
        pattern[i] = s.rootWeight(i);
        steep += gradient[i].dot(gradient[i]);
        count++;
      }
    }
    double shifted = tolerances.position() * Math.sqrt(steep / Math.max(1, count));
    return new SharedFault(
        new OfProbe(probe), pattern, Math.hypot(tolerances.normalisationPpm(), shifted));
  }

  private static SharedFault ofAngle(
      Sampling s, int angle, Vec3[] gradient, FaultSearch.Tolerances tolerances) {
    double[] pattern = new double[s.size()];
    for (int i = 0; i < s.size(); i++) {
      if (s.angle(i) == angle) {
        pattern[i] = s.rootWeight(i) * alongTurn(s.point(i), gradient[i]);
      }
    }
    return new SharedFault(new OfAngle(angle), pattern, tolerances.angle());
  }

  /**
   * Whether a pattern shows in the residuals without the few readings that speak loudest for it.
   *
   * @param contributions of each reading: [pattern, residual]
   */
  static boolean isShared(List<double[]> contributions) {
    if (contributions.size() < 6) {
      return false;
    }
    double along = 0;
    double square = 0;
    for (double[] c : contributions) {
      along += c[0] * c[1];
      square += c[0] * c[0];
    }
    double sign = Math.signum(along);
    contributions.sort((a, b) -> Double.compare(sign * b[0] * b[1], sign * a[0] * a[1]));
    double restAlong = along;
    double restSquare = square;
    for (double[] loud : contributions.subList(0, FaultSearch.LOUDEST)) {
      restAlong -= loud[0] * loud[1];
      restSquare -= loud[0] * loud[0];
    }
    return sign * restAlong / restSquare > 0.5 * sign * along / square;
  }
}
