package org.fieldwright.core.harmonic;

import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.TreeMap;
import org.fieldwright.core.geometry.Vec3;

/**
 * What a turning survey will be able to see, before it is taken.
 *
 * @param angles equal settings over the full turn
 * @param startDeg first setting, degrees
 * @param degree of the field model it supports (or the one wanted, if lower)
 * @param hidden terms up to that degree that it cannot see
 * @param aliases order m → the lower order that looks the same, up to the number of angles
 * @param model the model such a survey of the expected field would give, without its noise: its
 *     covariance is the forecast
 * @param omitted what such a model cannot hold of the expected field, ppm: its terms above the
 *     degree and the hidden ones
 */
public record SamplingForecast(
    int angles,
    double startDeg,
    int degree,
    Set<Term> hidden,
    TreeMap<Integer, Integer> aliases,
    FieldModel model,
    Expansion omitted) {

  /** A probe of the array in its half-plane: polar angle (rad) and radius (m). */
  public record ProbePlace(double polar, double radius) {}

  /**
   * Forecasts one plan.
   *
   * @param wanted degree above which no term is of interest
   * @param expected field, ppm: position and angle errors act through its gradient
   * @param errors stated uncertainties
   */
  public static SamplingForecast of(
      List<ProbePlace> probes,
      int angles,
      double startDeg,
      int wanted,
      double referenceRadius,
      Expansion expected,
      ErrorSources errors) {
    double[] settings = new double[angles];
    for (int a = 0; a < angles; a++) {
      settings[a] = startDeg + 360.0 * a / angles;
    }
    AngularSupport support = AngularSupport.of(settings);
    int degree =
        Math.max(1, Math.min(wanted, Math.min(probes.size() - 1, support.highestWholeDegree())));
    Sampling sampling = sampling(probes, settings);
    HarmonicDesign design = HarmonicDesign.of(sampling, degree, referenceRadius, support);
    Expansion within = expected.withReferenceRadius(referenceRadius).withDegree(degree);
    double[] values = new double[sampling.size()];
    for (int i = 0; i < values.length; i++) {
      values[i] = within.at(sampling.point(i));
    }
    FieldModel model =
        FieldModels.of(new WorkingFit(design, degree, values).solve(), 1, errors, "forecast");
    TreeMap<Integer, Integer> aliases = new TreeMap<>();
    for (int m = angles / 2 + 1; m <= angles; m++) {
      aliases.put(m, support.aliasOf(m));
    }
    return new SamplingForecast(
        angles,
        startDeg,
        degree,
        design.unseen(degree),
        aliases,
        model,
        omitted(expected, degree, design.unseen(degree)));
  }

  private static Expansion omitted(Expansion expected, int degree, Set<Term> hidden) {
    double[] c = expected.coefficients();
    for (int i = 0; i < c.length; i++) {
      c[i] = Term.at(i).n() <= degree && !hidden.contains(Term.at(i)) ? 0 : c[i];
    }
    return new Expansion(expected.referenceRadius(), c);
  }

  private static Sampling sampling(List<ProbePlace> probes, double[] settingsDeg) {
    int n = probes.size() * settingsDeg.length;
    Vec3[] points = new Vec3[n];
    double[] weight = new double[n];
    int[] probe = new int[n];
    int[] angle = new int[n];
    for (int i = 0; i < n; i++) {
      probe[i] = i % probes.size();
      angle[i] = i / probes.size();
      ProbePlace p = probes.get(probe[i]);
      points[i] = Vec3.spherical(p.radius(), p.polar(), Math.toRadians(settingsDeg[angle[i]]));
      weight[i] = 1;
    }
    return new Sampling(points, weight, probe, angle);
  }

  /**
   * A field to plan for where nothing better is known: every term present, falling by 0.45 per
   * degree and 0.7 per order, in a fixed pattern of signs.
   *
   * @param scale of the first degree, in the unit wanted; the caller scales it to a peak-to-peak
   */
  public static Expansion typicalField(int degree, double referenceRadius, double scale) {
    double[] c = new double[Term.count(degree)];
    for (int i = 1; i < c.length; i++) {
      Term t = Term.at(i);
      double sign = (i * 0.6180339887498949) % 1 < 0.5 ? -1 : 1;
      c[i] = sign * scale * Math.pow(0.45, t.n() - 1) * Math.pow(0.7, t.m());
    }
    return new Expansion(referenceRadius, c);
  }

  /** Root mean square of the standard uncertainties of the terms seen (n ≥ 1), ppm. */
  public double coefficientUncertaintyPpm() {
    List<Double> squares = new ArrayList<>();
    for (int i = 1; i < Term.count(degree); i++) {
      Term t = Term.at(i);
      if (!hidden.contains(t)) {
        squares.add(Math.pow(model.standardUncertainty(t), 2));
      }
    }
    return Math.sqrt(squares.stream().mapToDouble(Double::doubleValue).average().orElse(0));
  }
}
