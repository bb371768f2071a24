package org.fieldwright.adapters.files;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.stream.Stream;
import org.fieldwright.adapters.files.table.Cells;
import org.fieldwright.adapters.files.table.Rows;
import org.fieldwright.core.BadInput;

/** What a file of a magnet folder holds, told by its name's ending and its header. */
public enum FileKind {
  MAGNET,
  SCENARIO,
  /** The profile of a reader. */
  READER,
  SURVEY,
  FIELD_LOG,
  LOADING,
  /** The rounds that were recorded. */
  LOADING_RECORD,
  /** What people wrote down of the magnet's life. */
  EVENTS,
  /** A table whose columns no reader knows. */
  UNKNOWN_TABLE,
  OTHER;

  private static final long MOST_BYTES = 256L << 20;

  /** The name used in answers. */
  public String id() {
    return name().toLowerCase(Locale.ROOT);
  }

  /** Looks at a file; one that cannot be read at all is {@link #OTHER}. */
  public static FileKind of(Path file) {
    String name = String.valueOf(file.getFileName()).toLowerCase(Locale.ROOT);
    if (isYaml(name)) {
      return name.startsWith("scenario") ? SCENARIO : describesReader(file) ? READER : MAGNET;
    }
    if (!name.endsWith(".csv") && !name.endsWith(".xlsx") && !name.endsWith(".txt")) {
      return OTHER;
    }
    try (Rows rows = Rows.open(file, MOST_BYTES)) {
      return of(new Cells(name, rows));
    } catch (BadInput e) {
      return OTHER;
    }
  }

  /** Whether a file is the profile of a reader; tables are not opened to tell. */
  public static boolean isReader(Path file) {
    return isYaml(String.valueOf(file.getFileName()).toLowerCase(Locale.ROOT))
        && of(file) == READER;
  }

  private static boolean isYaml(String name) {
    return name.endsWith(".yaml") || name.endsWith(".yml");
  }

  private static boolean describesReader(Path file) {
    try (Stream<String> lines = Files.lines(file)) {
      return lines.anyMatch(line -> line.startsWith("reader:"));
    } catch (IOException | UncheckedIOException e) {
      return false;
    }
  }

  private static FileKind of(Cells cells) {
    List<String> header =
        Arrays.stream(cells.header()).map(h -> h.toLowerCase(Locale.ROOT)).toList();
    if (header.containsAll(List.of("tray", "pocket", "piece"))) {
      return header.contains("round") ? LOADING_RECORD : LOADING;
    }
    if (header.containsAll(List.of("tray", "pocket"))) {
      return OTHER; // a table of pockets
    }
    if (header.containsAll(EventsFile.COLUMNS)) {
      return EVENTS;
    }
    if (reads(() -> ReadingColumns.ofSurvey(cells))) {
      return SURVEY;
    }
    return reads(() -> ReadingColumns.ofLog(cells)) ? FIELD_LOG : UNKNOWN_TABLE;
  }

  private static boolean reads(java.util.function.Supplier<ReadingColumns> reader) {
    try {
      ReadingColumns unused = reader.get();
      return true;
    } catch (BadInput e) {
      return false;
    }
  }
}
