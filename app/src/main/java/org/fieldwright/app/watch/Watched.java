package org.fieldwright.app.watch;

import java.time.Instant;
import java.util.List;
import org.fieldwright.core.homogeneity.LimitResult.Verdict;
import org.fieldwright.core.magnet.Magnet;
import org.fieldwright.core.stability.FieldLog;
import org.fieldwright.core.stability.StabilityReport;
import org.jspecify.annotations.Nullable;

/**
 * What a field log says, with what it was computed from.
 *
 * @param file name of the log's file
 * @param magnet null if none was given
 * @param probe whose samples count; null where the log follows one
 * @param inputs every file read
 */
public record Watched(
    String file,
    @Nullable Magnet magnet,
    @Nullable Integer probe,
    FieldLog log,
    StabilityReport report,
    List<Input> inputs) {

  public Watched {
    inputs = List.copyOf(inputs);
  }

  /** A file that was read. */
  public record Input(String file, String sha256) {}

  /** The instant of a time of the report. */
  Instant at(double seconds) {
    return log.at(seconds);
  }

  /** Whether every drift limit is met; true if there is none. */
  public boolean allMet() {
    return report.limits().stream().allMatch(l -> l.verdict() == Verdict.MET);
  }
}
