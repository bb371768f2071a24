package org.fieldwright.core.stability;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * What a field log says.
 *
 * @param referenceField T; ppm are relative to it
 * @param interval usual time from one sample to the next, s
 * @param used samples that the trend rests on
 * @param trend preferred form; null if the log is too short for any
 * @param alternatives every form tried, the preferred one first
 * @param drift rate of the trend at the end of the log, ppm per hour; null with the trend. For a
 *     straight line its slope
 * @param slope of a straight line through the log, whatever form is preferred; null with the trend
 * @param slopeAsMeasured the same without regard to the surroundings; null if these do not matter
 * @param noise of the residuals; null with the trend
 * @param forecast at some times after the end of the log
 * @param surroundings that the field follows
 * @param deviations null if no even stretch is long enough
 * @param bridgedShare share of the values under the deviations that bridge holes
 * @param events in the order of time
 * @param ramp null if the current did not change
 */
public record StabilityReport(
    double referenceField,
    double interval,
    int used,
    @Nullable Trend trend,
    List<Form> alternatives,
    @Nullable Estimate drift,
    @Nullable Estimate slope,
    @Nullable Estimate slopeAsMeasured,
    @Nullable NoiseShares noise,
    List<ForecastPoint> forecast,
    List<Surroundings> surroundings,
    @Nullable DeviationTable deviations,
    double bridgedShare,
    List<LogEvent> events,
    @Nullable Ramp ramp,
    List<DriftVerdict> limits,
    List<String> warnings) {

  public StabilityReport {
    alternatives = List.copyOf(alternatives);
    forecast = List.copyOf(forecast);
    surroundings = List.copyOf(surroundings);
    events = List.copyOf(events);
    limits = List.copyOf(limits);
    warnings = List.copyOf(warnings);
  }

  /**
   * A form of trend and the evidence for it.
   *
   * @param bic Schwarz's criterion; smaller is better, by 6 strongly so
   */
  public record Form(Trend.Kind kind, double bic) {}

  /**
   * The trend continued.
   *
   * @param time s since the start of the log
   * @param fieldPpm with the uncertainty of the trend and of the field's own wander since the end
   *     of the log
   * @param ratePpmPerHour of the trend
   */
  public record ForecastPoint(double time, Estimate fieldPpm, Estimate ratePpmPerHour) {}
}
