package org.fieldwright.core.homogeneity;

import java.util.List;
import org.fieldwright.core.geometry.Volume;
import org.fieldwright.core.harmonic.Covariance;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.harmonic.SolidHarmonics;
import org.fieldwright.core.homogeneity.LimitResult.Extreme;
import org.fieldwright.core.homogeneity.LimitResult.Verdict;

/**
 * Holds limits against a field model: value, standard uncertainty, what noise did to the value, and
 * the verdict. A model with zero covariance (a prediction) is judged with u = 0.
 *
 * <p>Uncertainty of peak-to-peak: linear, with the basis at the maximum less the basis at the
 * minimum as gradient (an extreme's own motion is of second order). Noise raises it on average;
 * {@link PeakToPeakNoise} says by how much. Uncertainty of an RMS: from the mean square, see {@link
 * #assess}.
 */
public final class HomogeneityAssessment {
  /** Volumes that reach beyond the readings by more than this factor are extrapolated. */
  private static final double MEASURED_MARGIN = 1.001;

  private HomogeneityAssessment() {}

  /** One result for each limit, in order; drift is not assessed here. */
  public static List<LimitResult> assess(FieldModel model, List<Limit> limits) {
    boolean uncertain = isUncertain(model.covariance());
    return limits.stream().map(limit -> assess(model, limit, uncertain)).toList();
  }

  private static LimitResult assess(FieldModel model, Limit limit, boolean uncertain) {
    if (limit.measure() == Limit.Measure.DRIFT) {
      return new LimitResult(limit, null, null, null, Verdict.NOT_ASSESSED, List.of(), false);
    }
    return limit.measure() == Limit.Measure.PEAK_TO_PEAK
        ? peakToPeak(model, limit, uncertain)
        : rms(model, limit, uncertain);
  }

  private static LimitResult peakToPeak(FieldModel model, Limit limit, boolean uncertain) {
    Volume volume = limit.requireVolume();
    SurfaceExtremes search = new SurfaceExtremes(volume);
    Extremes found = search.of(model.ppm());
    double u = 0;
    double bias = 0;
    if (uncertain) {
      u = Math.sqrt(model.covariance().varianceOf(difference(model.ppm(), found)));
      bias =
          new PeakToPeakNoise(model.ppm(), model.covariance(), search).bias(found.peakToPeak(), u);
    }
    List<Extreme> extremes = List.of(found.max(), found.min());
    return result(model, limit, found.peakToPeak(), u, bias, extremes);
  }

  /** The gradient of peak-to-peak by the coefficients. */
  private static double[] difference(Expansion field, Extremes extremes) {
    SolidHarmonics basis = new SolidHarmonics(field.degree(), field.referenceRadius());
    double[] g = basis.evaluate(extremes.max().at());
    double[] low = basis.evaluate(extremes.min().at());
    for (int i = 0; i < g.length; i++) {
      g[i] -= low[i];
    }
    return g;
  }

  /**
   * With mean square q = cᵀWc of the fitted coefficients, noise of covariance C has added tr(WC) on
   * average, so q − tr(WC) estimates the true one, with variance 4 cᵀWCWc − 2 tr(WCWC), the first
   * term itself being raised by noise by 4 tr(WCWC). Near zero the square root is not linear: the
   * uncertainty of the root is then √u(q), never more.
   */
  private static LimitResult rms(FieldModel model, Limit limit, boolean uncertain) {
    Volume volume = limit.requireVolume();
    double plain = Rms.of(model.ppm(), volume, limit.measure());
    if (!uncertain) {
      return result(model, limit, plain, 0, 0, List.of());
    }
    Covariance c = model.covariance();
    // Degrees above those of the covariance are certain; across degrees W is weak, on a sphere
    // zero.
    Expansion noisy = model.ppm().withDegree((int) Math.round(Math.sqrt(c.size())) - 1);
    MeanSquareForm form = MeanSquareForm.of(volume, limit.measure(), noisy);
    double value = Math.sqrt(Math.max(0, plain * plain - form.noiseMeanSquare(c)));
    double fromNoise = form.noiseMeanSquareVariance(c);
    double linear = 4 * c.varianceOf(form.times(noisy.coefficients()));
    double uSquare = Math.sqrt(Math.max(fromNoise, linear - fromNoise));
    double u = Math.min(uSquare / (2 * value), Math.sqrt(uSquare));
    return result(model, limit, value, u, plain - value, List.of());
  }

  private static LimitResult result(
      FieldModel model, Limit limit, double value, double u, double bias, List<Extreme> extremes) {
    boolean extrapolated =
        limit.requireVolume().outerRadius() > MEASURED_MARGIN * model.measuredRadius();
    Verdict verdict = GuardedAcceptance.decide(value, u, limit.limit());
    return new LimitResult(limit, value, u, bias, verdict, extremes, extrapolated);
  }

  private static boolean isUncertain(Covariance covariance) {
    for (int i = 0; i < covariance.size(); i++) {
      if (covariance.at(i, i) > 0) {
        return true;
      }
    }
    return false;
  }
}
