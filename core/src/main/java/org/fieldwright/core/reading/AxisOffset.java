package org.fieldwright.core.reading;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.AngularSupport;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.Sampling;
import org.fieldwright.core.harmonic.WorkingFit;

/**
 * Whether a turning array stands off its own turning axis.
 *
 * <p>Then every probe turns on a circle that is larger by the same length, or runs ahead by the
 * same length beside the array's plane. The readings change by that length times the field's slope
 * outward and along the turn. No field of the same degree does that, so two columns beside the
 * field tell both, unlike a shift of the whole turning frame, which gives another field.
 *
 * <p>What the field holds above the fitted degree lies along those columns, too, and would look
 * like millimetres where the field is even. It does so otherwise at every probe, while a displaced
 * array moves all of them alike: the uncertainty is taken from how far the probes agree (a
 * covariance that allows for clusters; Liang and Zeger, Biometrika 73 (1986) 13), where that is
 * more than the scatter gives.
 */
final class AxisOffset {
  /** Standard uncertainties by which an offset must stand out. */
  private static final double SCORE = 5;

  private AxisOffset() {}

  /**
   * What is found.
   *
   * @param fit a fit of the finished search that may take further columns
   * @param angles of the array
   * @param statedPosition standard uncertainty of a probe's place, m; 0 where not stated
   * @param scatter standard deviation of a reading of weight one, ppm
   */
  static List<Finding> findings(
      WorkingFit fit, AngularSupport angles, double statedPosition, double scatter) {
    List<Finding> findings = new ArrayList<>();
    Sampling s = fit.design().sampling();
    Expansion field = fit.solve().expansion();
    Vec3[] slope = s.slopes(field);
    double[] outward = new double[s.size()];
    double[] ahead = new double[s.size()];
    for (int i = 0; i < s.size(); i++) {
      double phi = Math.toRadians(angles.distinct().get(s.angle(i)));
      double present = fit.isSetAside(i) ? 0 : s.rootWeight(i);
      Vec3 plane = Vec3.cylindrical(1, phi, 0);
      outward[i] = present * slope[i].dot(plane);
      ahead[i] = present * slope[i].dot(new Vec3(-plane.y(), plane.x(), 0));
    }
    int first = fit.extras().size();
    double[] outwardAlone = fit.beside(outward);
    double[] aheadAlone = fit.beside(ahead);
    double[][] alone = {less(outwardAlone, aheadAlone), less(aheadAlone, outwardAlone)};
    if (!fit.free(outward, "outward") || !fit.free(ahead, "ahead") || fit.degreesOfFreedom() < 10) {
      return findings;
    }
    WorkingFit.Solution solution = fit.solve();
    // The probes' own misplacements have a mean as well.
    double common = FaultSearch.BEYOND_STATED * statedPosition / Math.sqrt(s.probes());
    for (int k = 0; k < 2; k++) {
      double metres = solution.extra(first + k);
      double u =
          Math.max(solution.extraUncertainty(first + k) * scatter, amongProbes(alone[k], fit, s));
      if (Math.abs(metres) > SCORE * u && Math.abs(metres) > common) {
        findings.add(finding(k == 0, 1e3 * metres, 1e3 * u));
      }
    }
    return findings;
  }

  /** A pattern without what it shares with another. */
  private static double[] less(double[] pattern, double[] other) {
    double along = 0;
    double square = 0;
    for (int i = 0; i < pattern.length; i++) {
      along += pattern[i] * other[i];
      square += other[i] * other[i];
    }
    double[] rest = pattern.clone();
    for (int i = 0; i < rest.length && square > 0; i++) {
      rest[i] -= along / square * other[i];
    }
    return rest;
  }

  /** Standard uncertainty of a length by how much each probe alone would have it otherwise, m. */
  private static double amongProbes(double[] pattern, WorkingFit fit, Sampling s) {
    int probes = s.probes();
    double[] pull = new double[probes];
    double square = 0;
    for (int i = 0; i < pattern.length; i++) {
      pull[s.probe(i)] += pattern[i] * fit.residual(i);
      square += pattern[i] * pattern[i];
    }
    double sum = 0;
    for (double p : pull) {
      sum += p * p;
    }
    return Math.sqrt(sum * probes / Math.max(1, probes - 1)) / square;
  }

  private static Finding finding(boolean radial, double mm, double u) {
    String where =
        radial ? (mm > 0 ? "too far out from" : "too close to") : (mm > 0 ? "ahead of" : "behind");
    return new Finding(
        radial ? Finding.What.ARRAY_OFF_AXIS : Finding.What.ARRAY_BESIDE_AXIS,
        String.format(
            Locale.ROOT,
            "The probes turn %.2f ± %.2f mm %s the turning axis.",
            Math.abs(mm),
            u,
            where),
        mm * mm / (u * u),
        mm,
        u,
        "mm",
        "Centre the array on its axis, or state the probes' radii and angles as they turn; the field model takes the stated places.");
  }
}
