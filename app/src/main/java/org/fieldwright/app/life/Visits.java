package org.fieldwright.app.life;

import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Objects;
import org.fieldwright.adapters.files.FieldLogFile;
import org.fieldwright.adapters.files.FileKind;
import org.fieldwright.adapters.files.SurveyFile;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.magnet.Magnet;
import org.jspecify.annotations.Nullable;

/** Which surveys and logs of a magnet folder belong to one visit. */
public final class Visits {
  /** Surveys and logs less than this apart belong to one visit. */
  private static final Duration ONE_VISIT = Duration.ofDays(7);

  /** The visit of what carries no time. */
  public static final String UNDATED = "undated";

  private Visits() {}

  /**
   * A survey or a log.
   *
   * @param at its first reading; null where none carries a time, or the file cannot be read
   * @param complaint why it cannot be read; null where it can
   */
  public record Measured(
      String file, FileKind kind, @Nullable Instant at, @Nullable String complaint) {}

  /**
   * One time at the magnet.
   *
   * @param id the day of its first reading, or {@link #UNDATED}
   */
  public record Visit(String id, List<Measured> surveys, List<Measured> logs) {
    public Visit {
      surveys = List.copyOf(surveys);
      logs = List.copyOf(logs);
    }

    private static Visit of(String id, List<Measured> all) {
      return new Visit(
          id,
          all.stream().filter(m -> m.kind() == FileKind.SURVEY).toList(),
          all.stream().filter(m -> m.kind() != FileKind.SURVEY).toList());
    }
  }

  /** When a survey or a log was taken. */
  public static Measured measured(Path path, FileKind kind, Magnet magnet) {
    String name = String.valueOf(path.getFileName());
    try {
      if (kind == FileKind.FIELD_LOG) {
        return new Measured(
            name, kind, FieldLogFile.read(path, magnet.array().gammaMHzPerT()).start(), null);
      }
      return new Measured(name, kind, SurveyFile.read(path, magnet).began(), null);
    } catch (BadInput e) {
      return new Measured(name, kind, null, e.getMessage());
    }
  }

  /** Groups what was measured by when; what carries no time makes a visit of its own, the last. */
  public static List<Visit> of(List<Measured> measured) {
    List<Measured> timed =
        measured.stream()
            .filter(m -> m.at() != null)
            .sorted(Comparator.comparing(m -> Objects.requireNonNull(m.at())))
            .toList();
    List<Visit> visits = new ArrayList<>();
    List<Measured> open = new ArrayList<>();
    String id = "";
    Instant last = Instant.MIN;
    for (Measured m : timed) {
      Instant at = Objects.requireNonNull(m.at());
      if (open.isEmpty() || last.plus(ONE_VISIT).isBefore(at)) {
        close(visits, id, open);
        id = at.toString().substring(0, "2026-03-10".length());
      }
      open.add(m);
      last = at;
    }
    close(visits, id, open);
    close(visits, UNDATED, new ArrayList<>(measured.stream().filter(m -> m.at() == null).toList()));
    return visits;
  }

  private static void close(List<Visit> visits, String id, List<Measured> open) {
    if (!open.isEmpty()) {
      visits.add(Visit.of(id, open));
      open.clear();
    }
  }
}
