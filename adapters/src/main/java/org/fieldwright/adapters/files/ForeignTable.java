package org.fieldwright.adapters.files;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.fieldwright.adapters.AtomicFile;
import org.fieldwright.adapters.files.table.Rows;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.magnet.Magnet;
import org.jspecify.annotations.Nullable;

/** A table of readings whose header no reader knows, until a person says what its columns are. */
public final class ForeignTable {
  private static final int SAMPLES = 6;
  private static final long MOST_BYTES = 256L << 20;

  private ForeignTable() {}

  /**
   * What a person is shown.
   *
   * @param header as it stands there
   * @param guesses a name that can be read, or null, for each column
   * @param samples the first cells of each column
   */
  public record Preview(
      List<String> header, List<@Nullable String> guesses, List<List<String>> samples) {}

  /** Every name that a column can be given. */
  public static List<String> meanings() {
    return ColumnGuess.meanings();
  }

  /** Looks at a table's first rows. */
  public static Preview preview(Path file, Magnet magnet) {
    try (Rows rows = Rows.open(file, MOST_BYTES)) {
      String[] header = header(file, rows);
      List<List<String>> samples = new ArrayList<>();
      for (int i = 0; i < header.length; i++) {
        samples.add(new ArrayList<>());
      }
      for (int r = 0; r < SAMPLES && rows.advance(); r++) {
        for (int i = 0; i < header.length; i++) {
          samples.get(i).add(i < rows.width() ? rows.cell(i) : "");
        }
      }
      return new Preview(
          List.of(header), ColumnGuess.of(header, samples, magnet), List.copyOf(samples));
    }
  }

  private static String[] header(Path file, Rows rows) {
    if (!rows.advance()) {
      throw new BadInput(file + ": found no row, expected a header and readings");
    }
    String[] header = new String[rows.width()];
    for (int i = 0; i < header.length; i++) {
      header[i] = rows.cell(i);
    }
    return header;
  }

  /**
   * Writes the table again under a header that can be read, whole or not at all; columns without a
   * meaning keep their own name. Nothing is written unless it can then be read.
   *
   * @param meanings a name of {@link #meanings}, or null, for each column
   * @return the kind of table it is
   */
  public static FileKind rename(
      Path file, List<@Nullable String> meanings, Path target, Magnet magnet) {
    List<String> named = checked(file, meanings);
    StringBuilder text = new StringBuilder();
    text.append("# renamed from: ").append(file.getFileName()).append('\n');
    text.append("# sha256: ").append(InputDigest.sha256(file)).append('\n');
    try (Rows rows = Rows.open(file, MOST_BYTES)) {
      String[] header = header(file, rows);
      if (header.length != named.size()) {
        throw new BadInput(
            "%s: found %d columns, but %d meanings were given"
                .formatted(file, header.length, named.size()));
      }
      char separator = rows.allowsDecimalComma() ? ';' : ',';
      for (int i = 0; i < header.length; i++) {
        cell(text, named.get(i).isEmpty() ? header[i] : named.get(i), i, separator);
      }
      text.append('\n');
      while (rows.advance()) {
        for (int i = 0; i < header.length; i++) {
          cell(text, i < rows.width() ? rows.cell(i) : "", i, separator);
        }
        text.append('\n');
      }
    }
    return keep(text.toString().getBytes(StandardCharsets.UTF_8), target, magnet);
  }

  private static List<String> checked(Path file, List<@Nullable String> meanings) {
    Set<String> known = new HashSet<>(meanings());
    Set<String> seen = new HashSet<>();
    List<String> named = new ArrayList<>();
    for (String meaning : meanings) {
      if (meaning != null && !known.contains(meaning)) {
        throw new BadInput(
            "%s: found the meaning '%s'; known are %s"
                .formatted(file, meaning, String.join(", ", meanings())));
      }
      if (meaning != null && !seen.add(meaning)) {
        throw new BadInput("%s: two columns cannot both be %s".formatted(file, meaning));
      }
      named.add(meaning == null ? "" : meaning);
    }
    return named;
  }

  private static void cell(StringBuilder text, String value, int column, char separator) {
    if (column > 0) {
      text.append(separator);
    }
    boolean quoted = value.indexOf(separator) >= 0 || value.contains("\"") || value.contains("\n");
    text.append(quoted ? '"' + value.replace("\"", "\"\"") + '"' : value);
  }

  /** Reads the new table before it takes its place. */
  private static FileKind keep(byte[] content, Path target, Magnet magnet) {
    try {
      Path trial = Files.createTempFile("fieldwright-columns", ".csv");
      try {
        Files.write(trial, content);
        FileKind kind = FileKind.of(trial);
        if (kind == FileKind.FIELD_LOG) {
          FieldLogFile.read(trial, magnet.array().gammaMHzPerT());
        } else {
          SurveyFile.read(trial, magnet);
        }
        AtomicFile.write(target, content);
        return kind;
      } catch (BadInput e) {
        throw new BadInput(
            String.valueOf(e.getMessage())
                .replace(trial.toString(), String.valueOf(target.getFileName())),
            e);
      } finally {
        Files.deleteIfExists(trial);
      }
    } catch (IOException e) {
      throw new java.io.UncheckedIOException(e);
    }
  }
}
