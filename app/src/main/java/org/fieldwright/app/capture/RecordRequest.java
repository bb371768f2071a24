package org.fieldwright.app.capture;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Objects;
import java.util.stream.Stream;
import org.fieldwright.core.BadInput;
import org.jspecify.annotations.Nullable;

/**
 * What is to be recorded against time.
 *
 * @param magnetFile describes the array
 * @param instrumentFile the reader's profile
 * @param log field log to be written, or gone on with
 * @param probe the one to read; null = all
 * @param currentFile profile of what reads the magnet's current; null = none
 * @param intervalSeconds from the beginning of one round of readings to that of the next; 0 = at
 *     once
 * @param expectedPpm inhomogeneity from peak to peak that the search window must hold
 * @param alarmPpm how far the field may go from its first reading; null = anywhere
 * @param targetMHz where a ramp leads; null = nowhere
 * @param overSeconds how far back drift and rates look
 */
public record RecordRequest(
    Path magnetFile,
    Path instrumentFile,
    Path log,
    @Nullable Integer probe,
    @Nullable Path currentFile,
    double intervalSeconds,
    double expectedPpm,
    @Nullable Double alarmPpm,
    @Nullable Double targetMHz,
    double overSeconds) {
  /** What the name of a log is followed by while it is being recorded. */
  public static final String UNFINISHED = ".recording";

  private static final double USUAL_OVER_S = 3600;
  private static final double RAMP_OVER_S = 300;
  private static final String READER = "reader_profile";
  private static final String PROBE = "recorded_probe";
  private static final String CURRENT = "current_profile";
  private static final String INTERVAL = "interval_s";
  private static final String EXPECTED = "expected_ppm";
  private static final String ALARM = "alarm_ppm";
  private static final String TARGET = "target_MHz";
  private static final String OVER = "drift_over_s";

  public RecordRequest {
    positive("expected ppm", expectedPpm);
    positive("alarm ppm", alarmPpm);
    positive("target MHz", targetMHz);
    positive("how far back drift and rates look", overSeconds);
    if (!(intervalSeconds >= 0)) {
      throw new BadInput("interval: found " + intervalSeconds + " s, expected 0 or more");
    }
  }

  private static void positive(String what, @Nullable Double value) {
    if (value != null && !(value > 0)) {
      throw new BadInput(what + ": found " + value + ", expected a number above 0");
    }
  }

  /** How far back drift and rates look if nothing else is said, s. */
  public static double usualOverSeconds(boolean ramp) {
    return ramp ? RAMP_OVER_S : USUAL_OVER_S;
  }

  /** What was asked for, as the head of the log keeps it; of files the names alone. */
  Map<String, String> remarks() {
    Map<String, String> remarks = new LinkedHashMap<>();
    remarks.put(READER, String.valueOf(instrumentFile.getFileName()));
    Equipment.put(remarks, PROBE, probe);
    Equipment.put(remarks, CURRENT, currentFile == null ? null : currentFile.getFileName());
    remarks.put(INTERVAL, "" + intervalSeconds);
    remarks.put(EXPECTED, "" + expectedPpm);
    Equipment.put(remarks, ALARM, alarmPpm);
    Equipment.put(remarks, TARGET, targetMHz);
    remarks.put(OVER, "" + overSeconds);
    return remarks;
  }

  /** The request that a log was begun with; of the profiles it knows the names alone. */
  public static RecordRequest unfinished(Path magnetFile, Path log) throws IOException {
    Map<String, String> head = new HashMap<>();
    try (Stream<String> lines = Files.lines(log)) {
      lines
          .takeWhile(line -> line.startsWith("# "))
          .map(line -> line.substring(2).split(": ", 2))
          .filter(parts -> parts.length == 2)
          .forEach(parts -> head.putIfAbsent(parts[0], parts[1]));
    }
    String reader = head.get(READER);
    if (reader == null) {
      throw new BadInput(log + ": found no " + READER + " in its head, expected a log begun here");
    }
    Double probe = number(log, head, PROBE);
    String current = head.get(CURRENT);
    return new RecordRequest(
        magnetFile,
        Path.of(reader),
        log,
        probe == null ? null : (Integer) probe.intValue(),
        current == null ? null : Path.of(current),
        Objects.requireNonNullElse(number(log, head, INTERVAL), 1.0),
        Objects.requireNonNullElse(number(log, head, EXPECTED), CaptureRequest.USUAL_PPM),
        number(log, head, ALARM),
        number(log, head, TARGET),
        Objects.requireNonNullElse(number(log, head, OVER), USUAL_OVER_S));
  }

  private static @Nullable Double number(Path log, Map<String, String> head, String key) {
    String text = head.get(key);
    try {
      return text == null ? null : Double.valueOf(text);
    } catch (NumberFormatException e) {
      throw new BadInput("%s: %s: found '%s', expected a number".formatted(log, key, text), e);
    }
  }

  /** The same through other profiles. */
  public RecordRequest readBy(Path profile, @Nullable Path current) {
    return new RecordRequest(
        magnetFile,
        profile,
        log,
        probe,
        current,
        intervalSeconds,
        expectedPpm,
        alarmPpm,
        targetMHz,
        overSeconds);
  }

  /** The log's own name, whether it is being recorded or not. */
  public static String nameOf(Path log) {
    String file = String.valueOf(log.getFileName());
    return file.endsWith(UNFINISHED)
        ? file.substring(0, file.length() - UNFINISHED.length())
        : file;
  }
}
