package org.fieldwright.core.correction;

import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import org.fieldwright.core.correction.IronSystem.Errors;
import org.fieldwright.core.correction.PlanForecast.Change;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.geometry.Volume;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.homogeneity.CoefficientNoise;
import org.fieldwright.core.homogeneity.SurfaceExtremes;

/**
 * What a plan can promise: the peak-to-peak after loading, drawn over the errors of pieces and
 * places (the magnet file's {@code iron.errors}) and of the map (the model's covariance), by seeded
 * Monte Carlo (JCGM 101). Each draw's extremes are found as every assessment finds them.
 */
public final class PromiseForecast {
  /** Draws behind a plan's promise: the quantile is then known to about 1.5 % of the scatter. */
  public static final int DRAWS = 400;

  private static final long SEED = 95L;
  private static final int VERIFIED = 4;
  private static final double QUANTILE = 0.95;

  /**
   * Left out of the whole change by the expansions of its errors, ppm: of an error of a few per
   * cent this is a few times 1e-4.
   */
  private static final double TRUNCATION_PPM = 0.03;

  private final IronSystem iron;
  private final Vec3 fieldAxis;
  private final PlanForecast forecast;

  public PromiseForecast(IronSystem iron, Vec3 fieldAxis) {
    this.iron = iron;
    this.fieldAxis = fieldAxis;
    this.forecast = new PlanForecast(iron, fieldAxis);
  }

  /** The promise of changing one loading into another, by the usual draws. */
  public Promise promise(FieldModel model, Loading from, Loading to, Volume volume) {
    return promise(model, from, to, WeighedStacks.NONE, volume);
  }

  /** The same where some stacks were weighed: their mass is known, not drawn. */
  public Promise promise(
      FieldModel model, Loading from, Loading to, WeighedStacks weighed, Volume volume) {
    return promise(model, from, to, weighed, volume, DRAWS, SEED);
  }

  /**
   * The promise of changing one loading into another.
   *
   * @param model the field with {@code from} loaded
   */
  public Promise promise(
      FieldModel model, Loading from, Loading to, Volume volume, int draws, long seed) {
    return promise(model, from, to, WeighedStacks.NONE, volume, draws, seed);
  }

  private Promise promise(
      FieldModel model,
      Loading from,
      Loading to,
      WeighedStacks weighed,
      Volume volume,
      int draws,
      long seed) {
    double reach = volume.outerRadius();
    List<Change> changes = forecast.changes(from, to);
    Errors stated = iron.errors();
    PieceErrors pieces =
        new PieceErrors(
            forecast,
            fieldAxis,
            model.centreField(),
            stated == null ? new Errors(0, 0, 0, 0) : stated,
            changes,
            weighed,
            PlanForecast.degree(model.centreField(), changes, reach, TRUNCATION_PPM),
            reach);
    CoefficientNoise noise = new CoefficientNoise(model.covariance());
    Expansion planned =
        forecast.after(model, from, to, weighed, reach).ppm().withReferenceRadius(reach);
    SurfaceExtremes search = new SurfaceExtremes(volume);
    SplittableRandom random = new SplittableRandom(seed);
    double[] widths = new double[draws];
    double[] error = new double[model.covariance().size()];
    double linearError = 0;
    for (int i = 0; i < draws; i++) {
      PieceErrors.Draw draw = pieces.draw(random);
      noise.draw(random, error);
      Expansion map = new Expansion(model.ppm().referenceRadius(), error);
      Expansion base = planned.plus(map);
      double[] sum = base.coefficients();
      pieces.addTo(sum, draw);
      widths[i] = search.of(new Expansion(reach, sum).withConstant(0)).peakToPeak();
      if (i < VERIFIED) {
        double full = search.of(base.plus(pieces.exact(draw))).peakToPeak();
        linearError = Math.max(linearError, Math.abs(full - widths[i]));
      }
    }
    return summary(widths, seed, linearError);
  }

  private static Promise summary(double[] widths, long seed, double linearError) {
    int draws = widths.length;
    double mean = Arrays.stream(widths).sum() / draws;
    Arrays.sort(widths);
    // Of a quantile p of n draws: ±√(n p (1−p)) places in their order (JCGM 101, 7.7).
    double spread = Math.sqrt(draws * QUANTILE * (1 - QUANTILE));
    double place = QUANTILE * (draws - 1);
    double half = (at(widths, place + spread) - at(widths, place - spread)) / 2;
    return new Promise(mean, at(widths, place), half, draws, seed, linearError);
  }

  private static double at(double[] sorted, double place) {
    double within = Math.max(0, Math.min(sorted.length - 1.0, place));
    int below = (int) within;
    int above = Math.min(below + 1, sorted.length - 1);
    return sorted[below] + (within - below) * (sorted[above] - sorted[below]);
  }
}
