package org.fieldwright.app.capture;

import java.time.Instant;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.List;
import java.util.Locale;
import org.fieldwright.core.stability.Estimate;
import org.jspecify.annotations.Nullable;

/**
 * What a recording shows now.
 *
 * @param time of the last reading
 * @param locked probes that locked in the last round
 * @param of how many were read
 * @param unlocked the others
 * @param frequencyMHz mean over those that locked; null if none did
 * @param ppm mean change of each from its own first reading; null if none locked
 * @param drift ppm/h over the stretch that is looked back on; null while too little is read
 * @param current of the magnet, A; null if not read
 * @param fieldPerAmpere T/A; null if the current is not read or stands still
 * @param hoursToTarget null without a target, or where the rate does not lead there for certain
 * @param alarms what is beyond its limit, in words
 * @param readings in the log, those without a lock included
 */
public record Figures(
    Instant time,
    int locked,
    int of,
    List<Integer> unlocked,
    @Nullable Double frequencyMHz,
    @Nullable Double ppm,
    @Nullable Estimate drift,
    @Nullable Double current,
    @Nullable Estimate fieldPerAmpere,
    @Nullable Estimate hoursToTarget,
    List<String> alarms,
    long readings) {
  public Figures {
    unlocked = List.copyOf(unlocked);
    alarms = List.copyOf(alarms);
  }

  private static final DateTimeFormatter CLOCK =
      DateTimeFormatter.ofPattern("HH:mm:ss'Z'", Locale.ROOT).withZone(ZoneOffset.UTC);
  private static final double FAST = 1000; // ppm/h: a ramp, told in MHz/h

  /** One line for a terminal. */
  public String line() {
    StringBuilder line = new StringBuilder(CLOCK.format(time));
    if (of > 1) {
      line.append("  %d of %d probes".formatted(locked, of));
    }
    if (frequencyMHz == null || ppm == null) {
      return line.append("  no lock").toString();
    }
    line.append(String.format(Locale.ROOT, "  %.7f MHz  %+.3f ppm", frequencyMHz, ppm));
    line.append("  ").append(rate(frequencyMHz));
    if (current != null) {
      line.append(String.format(Locale.ROOT, "  %.4f A", current));
    }
    if (fieldPerAmpere != null) {
      line.append("  ").append(uncertain(fieldPerAmpere, 1e3)).append(" mT/A");
    }
    if (hoursToTarget != null) {
      line.append("  target in ").append(uncertain(hoursToTarget, 60)).append(" min");
    }
    return line.toString();
  }

  private String rate(double frequency) {
    if (drift == null) {
      return "drift not told yet";
    }
    if (Math.abs(drift.value()) < FAST) {
      return "drift " + uncertain(drift, 1) + " ppm/h";
    }
    double perPpm = 1e-6 * frequency;
    return drift.value() > 0
        ? "rising by " + uncertain(drift, perPpm) + " MHz/h"
        : "falling by "
            + uncertain(new Estimate(-drift.value(), drift.uncertainty()), perPpm)
            + " MHz/h";
  }

  /** To the second digit of the uncertainty. */
  static String uncertain(Estimate e, double scale) {
    double u = e.uncertainty() * scale;
    int decimals = u > 0 ? Math.max(0, 1 - (int) Math.floor(Math.log10(u))) : 3;
    String form = "%+." + Math.min(9, decimals) + "f ± %." + Math.min(9, decimals) + "f";
    return String.format(Locale.ROOT, form, e.value() * scale, u);
  }
}
