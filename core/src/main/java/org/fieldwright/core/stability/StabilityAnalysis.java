package org.fieldwright.core.stability;

import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.concurrent.ExecutorService;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.Calibration;
import org.fieldwright.core.homogeneity.GuardedAcceptance;
import org.fieldwright.core.homogeneity.Limit;
import org.fieldwright.core.homogeneity.LimitResult.Verdict;
import org.fieldwright.core.stability.TrendFitter.Candidate;
import org.jspecify.annotations.Nullable;

/**
 * From a field log to what it says of the magnet: vets the log, fits and compares trends under the
 * log's own noise, regresses on the surroundings, takes deviations and judges drift limits.
 *
 * <p>Memory: two arrays of the log's length beside the log itself (160 MB for ten million samples);
 * time: a few passes over the log, then work on at most two thousand blocks.
 */
public final class StabilityAnalysis {
  private static final int FINE = 2000;
  private static final int FEWEST_SAMPLES = 6;
  private static final int FEWEST_FOR_DEVIATIONS = 8;

  private final FieldLog log;
  private final @Nullable Double nominalField;
  private final List<Limit> limits;
  private final @Nullable ExecutorService executor;
  private final List<String> warnings = new ArrayList<>();

  private StabilityAnalysis(
      FieldLog log,
      @Nullable Double nominalField,
      List<Limit> limits,
      @Nullable ExecutorService executor) {
    this.log = log;
    this.nominalField = nominalField;
    this.limits = limits.stream().filter(l -> l.measure() == Limit.Measure.DRIFT).toList();
    this.executor = executor;
  }

  /**
   * Analyses a log.
   *
   * @param nominalField what ppm refer to and what a ramp aims at, T; null for the log's own median
   * @param limits those on drift are judged, others passed over
   * @param executor shares long sums out; null keeps everything in the caller's thread
   */
  public static StabilityReport of(
      FieldLog log,
      @Nullable Double nominalField,
      List<Limit> limits,
      @Nullable ExecutorService executor) {
    return new StabilityAnalysis(log, nominalField, limits, executor).run();
  }

  private StabilityReport run() {
    Ramp ramp = RampFinder.find(log, nominalField);
    double reference = nominalField == null ? Robust.median(log.field()) : nominalField;
    if (!(reference > 0)) {
      throw new BadInput("the field log holds no positive field value");
    }
    Deviating ppm = new Deviating(log.field(), reference);
    if (ramp != null) {
      leaveOutRamp(ppm, ramp);
    }
    VettedLog vetted = EventFinder.vet(log, ppm);
    if (ramp != null) {
      vetted = withoutLocksLostInRamp(vetted, ramp);
    }
    return judged(reference, vetted, ramp);
  }

  private void leaveOutRamp(Deviating ppm, Ramp ramp) {
    ppm.leaveOut(0, ramp.lastSample() + 1);
    warnings.add(
        "the magnet's current changes in this log; drift is judged on what follows the change");
  }

  /** Samples left out because of the ramp had their lock. */
  private VettedLog withoutLocksLostInRamp(VettedLog v, Ramp ramp) {
    List<LogEvent> events =
        v.events().stream()
            .filter(e -> e.kind() != LogEvent.Kind.LOST_LOCK || e.lastSample() > ramp.lastSample())
            .toList();
    return new VettedLog(v.interval(), v.time(), v.ppm(), v.steps(), events, v.unlisted());
  }

  private StabilityReport judged(double reference, VettedLog vetted, @Nullable Ramp ramp) {
    int used = vetted.ppm().used();
    LocalDate logged = LocalDate.ofInstant(log.at(log.duration()), ZoneOffset.UTC);
    Calibration.lapsed(log.remarks(), logged)
        .forEach(lapsed -> warnings.add(lapsed + "; the log is of " + logged + "."));
    if (vetted.unlisted() > 0) {
      warnings.add(vetted.unlisted() + " more gaps or lost locks are not listed one by one");
    }
    Blocks fine = Blocks.of(vetted.time(), vetted.ppm(), vetted.interval(), vetted.steps(), FINE);
    double[] stepTimes = Arrays.stream(vetted.steps()).mapToDouble(s -> vetted.time()[s]).toArray();
    if (used < FEWEST_SAMPLES + stepTimes.length) {
      warnings.add("only " + used + " usable samples: too few for a trend");
      return withoutTrend(reference, vetted, used, ramp);
    }
    TrendFitter fitter = new TrendFitter(fine, stepTimes, log.duration(), vetted.interval());
    List<Candidate> candidates = fitter.fitAll(new double[0][]);
    double[] heights = new double[stepTimes.length];
    readHeights(candidates.get(0), heights.length, heights);
    SurroundingsFinder surroundings = new SurroundingsFinder(fitter);
    surroundings.tryOut(
        Surroundings.Quantity.TEMPERATURE, series(log.temperature(), fine), candidates.get(0));
    surroundings.tryOut(
        Surroundings.Quantity.PRESSURE, series(log.pressure(), fine), candidates.get(0));
    Estimate asMeasured = null;
    if (surroundings.foundAny()) {
      asMeasured = slope(candidates);
      fitter = surroundings.fitter();
      candidates = fitter.fitAll(surroundings.columns(fitter));
      readHeights(candidates.get(0), fitter.steps(), heights);
    }
    Candidate best = candidates.get(0);
    EvenRecord even = EvenRecord.of(vetted, heights);
    DeviationTable deviations = deviations(even, vetted.interval());
    Trend trend = best.trend();
    double stepped = Arrays.stream(heights).sum();
    Forecast forecast = new Forecast(trend, stepped, log.duration(), best.fit().wander());
    Estimate drift = trend.ratePpmPerHour(log.duration());
    return new StabilityReport(
        reference,
        vetted.interval(),
        used,
        trend,
        candidates.stream().map(c -> new StabilityReport.Form(c.kind(), c.bic())).toList(),
        drift,
        slope(candidates),
        asMeasured,
        best.fit().noise(),
        forecast.points(),
        surroundings.found(best, fitter.steps()),
        deviations,
        even.bridgedShare(),
        withHeights(vetted, heights),
        ramp,
        limits.stream().map(l -> verdict(l, drift, forecast)).toList(),
        warnings);
  }

  /** Takes the last steps' heights from a fit; a fit of the log's later part knows only those. */
  private static void readHeights(Candidate fitted, int steps, double[] heights) {
    for (int s = 0; s < steps; s++) {
      heights[heights.length - steps + s] = fitted.step(s).value();
    }
  }

  private StabilityReport withoutTrend(
      double reference, VettedLog vetted, int used, @Nullable Ramp ramp) {
    List<DriftVerdict> verdicts =
        limits.stream()
            .map(l -> new DriftVerdict(l, null, null, Verdict.NOT_ASSESSED, null))
            .toList();
    return new StabilityReport(
        reference,
        vetted.interval(),
        used,
        null,
        List.of(),
        null,
        null,
        null,
        null,
        List.of(),
        List.of(),
        null,
        0,
        vetted.events(),
        ramp,
        verdicts,
        warnings);
  }

  private static DriftVerdict verdict(Limit limit, Estimate drift, Forecast forecast) {
    double size = Math.abs(drift.value());
    Verdict verdict = GuardedAcceptance.decide(size, drift.uncertainty(), limit.limit());
    return new DriftVerdict(
        limit, size, drift.uncertainty(), verdict, forecast.inLimitFrom(limit.limit()));
  }

  private static Estimate slope(List<Candidate> candidates) {
    Candidate line =
        candidates.stream().filter(c -> c.kind() == Trend.Kind.LINEAR).findFirst().orElseThrow();
    return line.trend().ratePpmPerHour(0);
  }

  private @Nullable DeviationTable deviations(EvenRecord even, double interval) {
    if (even.values().length < FEWEST_FOR_DEVIATIONS) {
      return null;
    }
    return DeviationTable.of(new Deviations(even.values(), interval), executor);
  }

  /** Replaces the heights of steps by those that the regression found. */
  private static List<LogEvent> withHeights(VettedLog vetted, double[] heights) {
    List<LogEvent> events = new ArrayList<>();
    for (LogEvent e : vetted.events()) {
      int s = Arrays.binarySearch(vetted.steps(), e.lastSample());
      boolean step = e.kind() == LogEvent.Kind.STEP || e.kind() == LogEvent.Kind.PROBE_CHANGE;
      events.add(
          step && s >= 0
              ? new LogEvent(
                  e.kind(), e.firstSample(), e.lastSample(), e.start(), e.end(), heights[s])
              : e);
    }
    return events;
  }

  /**
   * Means of a logged quantity over the blocks, holes bridged by straight lines; null if absent.
   */
  private double @Nullable [] series(double @Nullable [] column, Blocks fine) {
    if (column == null) {
      return null;
    }
    double[] series = new double[fine.size()];
    double[] time = log.time();
    int i = 0;
    int known = -1;
    for (int b = 0; b < series.length; b++) {
      double sum = 0;
      int n = 0;
      for (; i < time.length && time[i] <= fine.to(b); i++) {
        if (time[i] >= fine.from(b) && !Double.isNaN(column[i])) {
          sum += column[i];
          n++;
        }
      }
      if (n > 0) {
        series[b] = sum / n;
        bridge(series, known, b);
        known = b;
      }
    }
    if (known < 0) {
      return null;
    }
    Arrays.fill(series, known, series.length, series[known]);
    return series;
  }

  private static void bridge(double[] series, int known, int b) {
    for (int j = known + 1; j < b; j++) {
      double share = (double) (j - known) / (b - known);
      series[j] = known < 0 ? series[b] : series[known] + share * (series[b] - series[known]);
    }
  }
}
