package org.fieldwright.core.reading;

import java.time.Instant;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import org.jspecify.annotations.Nullable;

/**
 * One set of readings over a sphere or a cloud of points, before any judgement.
 *
 * @param file name for messages and results
 * @param kind how the places were given
 * @param readings in the order of the file
 * @param frequency whether the values were frequencies (then γ mattered)
 * @param remarks the {@code # key: value} lines before the header
 * @param notes what the reader wants said, e.g. columns it ignored
 */
public record Survey(
    String file,
    Kind kind,
    List<Reading> readings,
    boolean frequency,
    Map<String, String> remarks,
    List<String> notes) {

  public Survey {
    readings = List.copyOf(readings);
    remarks = Map.copyOf(remarks);
    notes = List.copyOf(notes);
  }

  /** When the first reading was taken; null where the file states no times. */
  public @Nullable Instant began() {
    return readings.stream()
        .map(Reading::time)
        .filter(Objects::nonNull)
        .min(Comparator.naturalOrder())
        .orElse(null);
  }

  /** The same survey of a turning array if two probes' readings were each other's. */
  Survey exchanged(Probe a, Probe b) {
    List<Reading> changed =
        readings.stream()
            .map(
                r ->
                    r.probe() == null
                        ? r
                        : r.probe() == a.id() ? r.by(b) : r.probe() == b.id() ? r.by(a) : r)
            .toList();
    return new Survey(file, kind, changed, frequency, remarks, notes);
  }

  /** How the places were given. */
  public enum Kind {
    TURNING_ARRAY,
    FREE_POINTS
  }
}
