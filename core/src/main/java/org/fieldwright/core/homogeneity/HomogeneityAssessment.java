package org.fieldwright.core.homogeneity;

import java.util.List;
import org.fieldwright.core.geometry.Volume;
import org.fieldwright.core.harmonic.Covariance;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.homogeneity.LimitResult.Extreme;
import org.fieldwright.core.homogeneity.LimitResult.Verdict;
import org.fieldwright.core.uncertainty.Interval;
import org.fieldwright.core.uncertainty.UncertaintyBudget;

/**
 * Holds limits against a field model: value, standard uncertainty and its budget, what noise did to
 * the value, a 95 % interval, and the verdict. A model with zero covariance (a prediction) is
 * judged with u = 0.
 *
 * <p>Peak-to-peak: linear uncertainty, with the basis at the maximum less the basis at the minimum
 * as gradient (an extreme's own motion is of second order). Noise raises it on average; {@link
 * PeakToPeakNoise} says by how much. The value stays that of the fitted field, so the bias is added
 * to its uncertainty in quadrature; the interval is corrected for it.
 *
 * <p>RMS: with mean square q = cᵀWc of the fitted coefficients, noise of covariance C has added
 * tr(WC) on average, so q − tr(WC) estimates the true one, with variance 4 cᵀWCWc − 2 tr(WCWC), the
 * first term itself being raised by noise by 4 tr(WCWC). Near zero the square root is not linear:
 * the uncertainty of the root is then √u(q), never more. The interval is that of the mean square.
 */
public final class HomogeneityAssessment {
  /** Volumes that reach beyond the readings by more than this factor are extrapolated. */
  private static final double MEASURED_MARGIN = 1.001;

  private static final double NORMAL_95 = 1.96;

  private final FieldModel model;
  private final boolean certain;

  private HomogeneityAssessment(FieldModel model) {
    this.model = model;
    certain = isZero(model.covariance());
  }

  /** One result for each limit, in order; drift is not assessed here. */
  public static List<LimitResult> assess(FieldModel model, List<Limit> limits) {
    HomogeneityAssessment assessment = new HomogeneityAssessment(model);
    return limits.stream().map(assessment::assess).toList();
  }

  private LimitResult assess(Limit limit) {
    return switch (limit.measure()) {
      case DRIFT -> LimitResult.notAssessed(limit);
      case PEAK_TO_PEAK -> peakToPeak(limit);
      case SURFACE_RMS, VOLUME_RMS -> rms(limit);
    };
  }

  private LimitResult peakToPeak(Limit limit) {
    SurfaceExtremes search = new SurfaceExtremes(limit.requireVolume());
    Extremes found = search.of(model.ppm());
    List<Extreme> extremes = List.of(found.max(), found.min());
    double value = found.peakToPeak();
    if (certain) {
      return certain(limit, value, extremes);
    }
    double[] gradient = LimitSlope.difference(model.ppm(), found);
    double linear = Math.sqrt(model.covariance().varianceOf(gradient));
    PeakToPeakNoise.Effect noise =
        new PeakToPeakNoise(model.ppm(), model.covariance(), search).effect(value, linear);
    UncertaintyBudget budget = UncertaintyBudget.of(model.shares(), gradient, linear);
    double u = Math.hypot(linear, noise.bias());
    return result(limit, value, u, noise.bias(), noise.interval(), budget, extremes);
  }

  private LimitResult rms(Limit limit) {
    Volume volume = limit.requireVolume();
    double plain = Rms.of(model.ppm(), volume, limit.measure());
    if (certain) {
      return certain(limit, plain, List.of());
    }
    Covariance c = model.covariance();
    // Degrees above the covariance's are certain; W hardly couples them, on a sphere not at all.
    Expansion noisy = model.ppm().withDegree((int) Math.round(Math.sqrt(c.size())) - 1);
    MeanSquareForm form = MeanSquareForm.of(volume, limit.measure(), noisy);
    double square = plain * plain - form.noiseMeanSquare(c);
    double value = Math.sqrt(Math.max(0, square));
    double[] gradient = form.times(noisy.coefficients());
    double fromNoise = form.noiseMeanSquareVariance(c);
    double uSquare = Math.sqrt(Math.max(fromNoise, 4 * c.varianceOf(gradient) - fromNoise));
    double u = Math.min(uSquare / (2 * value), Math.sqrt(uSquare));
    double perSquare = c.varianceOf(gradient) / (plain * plain);
    Interval interval = rmsInterval(square, fromNoise, perSquare);
    UncertaintyBudget budget = UncertaintyBudget.of(model.shares(), gradient, u);
    return result(limit, value, u, plain - value, interval, budget, List.of());
  }

  /**
   * The true mean squares q from which the estimate lies no farther than 1.96 of the standard
   * deviations it would have there, √(v + 4κq): as Wilson's interval, the scatter is that of the
   * candidate truth and not of the estimate, which when low would understate it.
   */
  private static Interval rmsInterval(double estimate, double v, double kappa) {
    double centre = estimate + 2 * NORMAL_95 * NORMAL_95 * kappa;
    double inside = v + 4 * kappa * estimate + 4 * NORMAL_95 * NORMAL_95 * kappa * kappa;
    double half = NORMAL_95 * Math.sqrt(Math.max(v, inside));
    return new Interval(
        Math.sqrt(Math.max(0, centre - half)), Math.sqrt(Math.max(0, centre + half)));
  }

  private LimitResult certain(Limit limit, double value, List<Extreme> extremes) {
    UncertaintyBudget nothing = new UncertaintyBudget(List.of());
    return result(limit, value, 0, 0, new Interval(value, value), nothing, extremes);
  }

  private LimitResult result(
      Limit limit,
      double value,
      double u,
      double bias,
      Interval interval,
      UncertaintyBudget budget,
      List<Extreme> extremes) {
    boolean extrapolated =
        limit.requireVolume().outerRadius() > MEASURED_MARGIN * model.measuredRadius();
    Verdict verdict = GuardedAcceptance.decide(value, u, limit.limit());
    return new LimitResult(
        limit, value, u, bias, interval, budget, verdict, extremes, extrapolated);
  }

  private static boolean isZero(Covariance covariance) {
    for (int i = 0; i < covariance.size(); i++) {
      if (covariance.at(i, i) > 0) {
        return false;
      }
    }
    return true;
  }
}
