package org.fieldwright.app.watch;

import java.time.Instant;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.fieldwright.core.homogeneity.LimitResult.Verdict;
import org.fieldwright.core.stability.DeviationKind;
import org.fieldwright.core.stability.DeviationTable;
import org.fieldwright.core.stability.DriftVerdict;
import org.fieldwright.core.stability.Estimate;
import org.fieldwright.core.stability.LogEvent;
import org.fieldwright.core.stability.Ramp;
import org.fieldwright.core.stability.StabilityReport;
import org.fieldwright.core.stability.Surroundings;
import org.fieldwright.core.stability.Trend;
import org.jspecify.annotations.Nullable;

/** The answer for a person at a terminal: the verdict first, then what it rests on. */
public final class WatchText {
  private static final DateTimeFormatter TIME =
      DateTimeFormatter.ofPattern("uuuu-MM-dd HH:mm:ss'Z'", Locale.ROOT).withZone(ZoneOffset.UTC);
  private static final int MOST_EVENTS = 20;
  private static final double HOUR = 3600;

  private final Watched w;
  private final StabilityReport report;
  private final List<String> lines = new ArrayList<>();

  private WatchText(Watched w) {
    this.w = w;
    this.report = w.report();
  }

  /** The whole text. */
  public static String of(Watched watched) {
    WatchText text = new WatchText(watched);
    text.title();
    text.limits();
    text.trend();
    text.surroundings();
    text.ramp();
    text.events();
    text.deviations();
    watched.report().warnings().forEach(warning -> text.lines.add("! " + warning));
    return String.join("\n", text.lines) + "\n";
  }

  private void title() {
    String magnet = w.magnet() == null ? "" : w.magnet().name() + ", ";
    String probe = w.probe() == null ? "" : ", probe " + w.probe();
    lines.add(magnet + "field log " + w.file() + probe);
    lines.add(
        String.format(
            Locale.ROOT,
            "%s to %s: %s h, %d samples, %d used; ppm of %.8f T",
            time(0),
            time(w.log().duration()),
            plain(w.log().duration() / HOUR),
            w.log().size(),
            report.used(),
            report.referenceField()));
    lines.add("");
  }

  private void limits() {
    for (DriftVerdict v : report.limits()) {
      lines.add(limit(v));
    }
    if (report.limits().isEmpty()) {
      lines.add("No limit on drift is stated.");
    }
    lines.add("");
  }

  private String limit(DriftVerdict v) {
    String word =
        switch (v.verdict()) {
          case MET -> "MET";
          case NOT_MET -> "NOT MET";
          case UNDECIDED -> "UNDECIDED";
          case NOT_ASSESSED -> "NOT JUDGED";
        };
    if (v.valuePpmPerHour() == null || v.uncertaintyPpmPerHour() == null) {
      return "%-10s %s: the log does not tell a drift".formatted(word, v.limit().id());
    }
    Estimate drift = new Estimate(v.valuePpmPerHour(), v.uncertaintyPpmPerHour());
    String limit = plain(v.limit().limit());
    return "%-10s %s: drift of %s ppm/h; limit %s ppm/h%s"
        .formatted(word, v.limit().id(), uncertain(drift), limit, since(v));
  }

  private String since(DriftVerdict v) {
    Double from = v.inLimitFrom();
    if (from == null) {
      return v.verdict() == Verdict.MET ? "" : "; no end of it in sight";
    }
    boolean ahead = from > w.log().duration();
    return from == 0 ? "" : "; in limit " + (ahead ? "from " : "since ") + time(from);
  }

  private void trend() {
    Trend trend = report.trend();
    if (trend == null || report.drift() == null || report.slope() == null) {
      return;
    }
    lines.add("Drift     %s ppm/h at the end of the log".formatted(uncertain(report.drift())));
    if (trend.kind() != Trend.Kind.LINEAR) {
      lines.add("Slope     %s ppm/h through the whole log".formatted(uncertain(report.slope())));
    }
    if (report.slopeAsMeasured() != null) {
      lines.add(
          "          %s ppm/h as measured, surroundings included"
              .formatted(uncertain(report.slopeAsMeasured())));
    }
    lines.add("Trend     " + trend.kind().id().replace('_', ' '));
    for (Trend.Parameter p : trend.parameters()) {
      Estimate value = new Estimate(p.value(), p.uncertainty());
      lines.add("  %-24s %s".formatted(p.name(), uncertain(value)));
    }
    for (StabilityReport.ForecastPoint p : report.forecast()) {
      lines.add(
          "  in %s h: %s ppm, %s ppm/h"
              .formatted(
                  plain((p.time() - w.log().duration()) / HOUR),
                  uncertain(p.fieldPpm()),
                  uncertain(p.ratePpmPerHour())));
    }
  }

  private void surroundings() {
    for (Surroundings s : report.surroundings()) {
      boolean temperature = s.quantity() == Surroundings.Quantity.TEMPERATURE;
      lines.add(
          "Follows   the %s: %s ppm per %s, %s min later"
              .formatted(
                  temperature ? "temperature" : "air pressure",
                  uncertain(s.perUnit()),
                  temperature ? "K" : "hPa",
                  uncertain(new Estimate(s.delay().value() / 60, s.delay().uncertainty() / 60))));
    }
  }

  private void ramp() {
    Ramp ramp = report.ramp();
    if (ramp == null) {
      return;
    }
    double[] time = w.log().time();
    lines.add(
        "Ramp      %s to %s, %s; %s T/A, %s T/h at its end"
            .formatted(
                time(time[ramp.firstSample()]),
                time(time[ramp.lastSample()]),
                ramp.settled() ? "settled" : "still running",
                uncertain(ramp.fieldPerAmpere()),
                uncertain(ramp.rate())));
    Double hours = ramp.hoursToTarget();
    if (hours != null) {
      lines.add("          %s h to the nominal field at this rate".formatted(plain(hours)));
    }
  }

  private void events() {
    lines.add("Events    %d".formatted(report.events().size()));
    for (LogEvent e : report.events().subList(0, Math.min(MOST_EVENTS, report.events().size()))) {
      String size = e.sizePpm() == 0 ? "" : String.format(Locale.ROOT, ", %+.3f ppm", e.sizePpm());
      lines.add(
          "  %s  %s, %s s%s"
              .formatted(
                  time(e.start()), e.kind().id().replace('_', ' '), plain(e.duration()), size));
    }
    if (report.events().size() > MOST_EVENTS) {
      lines.add("  … the others are in --json");
    }
  }

  private void deviations() {
    DeviationTable table = report.deviations();
    if (table == null) {
      return;
    }
    lines.add("Overlapping Allan deviation (68 % interval)");
    for (DeviationTable.Row row : table.of(DeviationKind.OVERLAPPING_ALLAN)) {
      lines.add(
          String.format(
              Locale.ROOT,
              "  %10s s  %9.3g ppm  (%.3g to %.3g)  %s",
              plain(row.tau()),
              row.value(),
              row.low(),
              row.high(),
              row.noise().id().replace('_', ' ')));
    }
  }

  private String time(double seconds) {
    Instant instant = w.at(seconds);
    return TIME.format(instant);
  }

  /** To the second digit of the uncertainty, for very small values with a power of ten. */
  static String uncertain(@Nullable Estimate e) {
    if (e == null) {
      return "unknown";
    }
    double u = e.uncertainty();
    if (!(u > 0) || !Double.isFinite(u)) {
      return plain(e.value());
    }
    int decimals = Math.max(0, 1 - (int) Math.floor(Math.log10(u)));
    if (decimals <= 9) {
      String form = "%." + decimals + "f";
      return String.format(Locale.ROOT, form + " ± " + form, e.value(), u);
    }
    return String.format(Locale.ROOT, "%.4e ± %.1e", e.value(), u);
  }

  private static String plain(double value) {
    String text = String.format(Locale.ROOT, "%.4f", value);
    return text.contains(".") ? text.replaceAll("0+$", "").replaceAll("\\.$", "") : text;
  }
}
