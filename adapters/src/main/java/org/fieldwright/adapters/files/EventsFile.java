package org.fieldwright.adapters.files;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.DateTimeException;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.stream.Collectors;
import org.fieldwright.adapters.files.table.Cells;
import org.fieldwright.adapters.files.table.Columns;
import org.fieldwright.adapters.files.table.Rows;
import org.fieldwright.adapters.text.Timestamp;
import org.fieldwright.core.history.MagnetEvent;

/** What people wrote down of a magnet's life: {@code events.csv} beside the magnet file. */
public final class EventsFile {
  /** Its name. */
  public static final String NAME = "events.csv";

  /** The columns that tell such a table; {@code note} may be missing. */
  static final List<String> COLUMNS = List.of("date", "kind");

  private static final long MOST_BYTES = 4L << 20;
  private static final String KINDS =
      Arrays.stream(MagnetEvent.Kind.values())
          .map(MagnetEvent.Kind::id)
          .collect(Collectors.joining(", "));

  private EventsFile() {}

  /** The events beside a magnet file in the order of time; none where there is no such table. */
  public static List<MagnetEvent> beside(Path magnetFile) {
    Path file = magnetFile.toAbsolutePath().resolveSibling(NAME);
    if (!Files.exists(file)) {
      return List.of();
    }
    List<MagnetEvent> events = new ArrayList<>();
    try (Rows rows = Rows.open(file, MOST_BYTES)) {
      Cells cells = new Cells(file.toString(), rows);
      Columns columns = Columns.of(cells, COLUMNS, List.of("note"));
      while (cells.advance()) {
        events.add(
            new MagnetEvent(
                time(cells, columns.at("date")),
                kind(cells, columns.at("kind")),
                columns.has("note") ? cells.text(columns.at("note")) : ""));
      }
    }
    events.sort(Comparator.comparing(MagnetEvent::time));
    return events;
  }

  private static Instant time(Cells cells, int column) {
    String text = cells.text(column);
    Timestamp time = new Timestamp();
    if (time.read(text) == null) {
      return time.instant();
    }
    try {
      return LocalDate.parse(text).atStartOfDay(ZoneOffset.UTC).toInstant();
    } catch (DateTimeException e) {
      throw cells.complain(column, "a date such as 2026-03-02, or " + Timestamp.EXPECTED);
    }
  }

  private static MagnetEvent.Kind kind(Cells cells, int column) {
    String text = cells.text(column).toLowerCase(Locale.ROOT);
    return Arrays.stream(MagnetEvent.Kind.values())
        .filter(k -> k.id().equals(text))
        .findFirst()
        .orElseThrow(() -> cells.complain(column, "one of " + KINDS));
  }
}
