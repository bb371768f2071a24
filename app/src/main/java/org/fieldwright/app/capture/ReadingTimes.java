package org.fieldwright.app.capture;

import java.time.Clock;
import java.time.Instant;
import java.util.List;
import java.util.stream.IntStream;

/** When readings were taken that one answer of the reader holds. */
final class ReadingTimes {
  private ReadingTimes() {}

  /**
   * A time for each, as the probes were read one after the other.
   *
   * @param latest time of any reading before: all are later, even if the machine's clock was set
   *     back
   */
  static List<Instant> of(int readings, Clock clock, Instant latest) {
    Instant now = clock.instant();
    Instant first = now.isAfter(latest) ? now : latest.plusMillis(1);
    return IntStream.range(0, readings).mapToObj(first::plusMillis).toList();
  }
}
