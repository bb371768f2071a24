package org.fieldwright.adapters.files.table;

import de.siegmar.fastcsv.reader.CloseableIterator;
import de.siegmar.fastcsv.reader.CommentStrategy;
import de.siegmar.fastcsv.reader.CsvParseException;
import de.siegmar.fastcsv.reader.CsvReader;
import de.siegmar.fastcsv.reader.CsvRecord;
import de.siegmar.fastcsv.reader.FieldMismatchStrategy;
import java.io.BufferedReader;
import java.io.IOException;
import java.io.Reader;
import java.io.UncheckedIOException;
import java.nio.charset.CharacterCodingException;
import java.nio.file.Path;
import org.fieldwright.adapters.text.Utf8File;
import org.fieldwright.core.BadInput;
import org.jspecify.annotations.Nullable;

/** Delimited text; the separator (comma, semicolon or tab) is the commonest in the header line. */
final class CsvRows extends Rows {
  /** The header must begin within this many characters. */
  private static final int HEADER_WITHIN = 1 << 18;

  /** Longest cell, in characters; an unclosed quote would otherwise swallow the file. */
  private static final int LONGEST_CELL = 1 << 20;

  private final Path path;
  private final char separator;
  private final CsvReader<CsvRecord> reader;
  private final CloseableIterator<CsvRecord> records;
  private @Nullable CsvRecord record;

  private CsvRows(Path path, char separator, Reader in) {
    this.path = path;
    this.separator = separator;
    this.reader =
        CsvReader.builder()
            .fieldSeparator(separator)
            .commentStrategy(CommentStrategy.READ)
            .missingFieldStrategy(FieldMismatchStrategy.IGNORE) // Cells counts, and says where
            .extraFieldStrategy(FieldMismatchStrategy.IGNORE)
            .allowUnclosedQuote(false)
            .skipEmptyLines(true)
            .maxBufferSize(LONGEST_CELL)
            .ofCsvRecord(in);
    this.records = reader.iterator();
  }

  static CsvRows ofText(Path path, long maxBytes) {
    Reader in = new BufferedReader(Utf8File.reader(path, maxBytes), HEADER_WITHIN);
    try {
      in.mark(HEADER_WITHIN);
      char[] head = new char[HEADER_WITHIN];
      int n = 0;
      for (int got = 0; got >= 0 && n < head.length; n += Math.max(0, got)) {
        got = in.read(head, n, head.length - n);
      }
      in.reset();
      return new CsvRows(path, separatorOf(headerLine(path, new String(head, 0, n))), in);
    } catch (IOException e) {
      throw explained(path, e);
    }
  }

  /** The first line that is neither blank nor a remark. */
  private static String headerLine(Path path, String head) {
    return head.lines()
        .filter(line -> !line.isBlank() && !line.startsWith("#"))
        .findFirst()
        .orElseThrow(
            () -> new BadInput(path + ":1: found no header line, expected the names of columns"));
  }

  private static char separatorOf(String header) {
    char best = ',';
    int most = 0;
    for (char candidate : new char[] {'\t', ';', ','}) {
      boolean quoted = false;
      int count = 0;
      for (int i = 0; i < header.length(); i++) {
        quoted ^= header.charAt(i) == '"';
        count += !quoted && header.charAt(i) == candidate ? 1 : 0;
      }
      if (count > most) {
        most = count;
        best = candidate;
      }
    }
    return best;
  }

  @Override
  protected boolean next() {
    try {
      while (records.hasNext()) {
        CsvRecord r = records.next();
        if (r.isComment()) {
          remark(r.getField(0));
        } else if (hasContent(r)) {
          record = r;
          return true;
        }
      }
    } catch (UncheckedIOException | CsvParseException e) {
      throw explained(path, e);
    }
    return false;
  }

  private static boolean hasContent(CsvRecord r) {
    for (int i = 0; i < r.getFieldCount(); i++) {
      if (!r.getField(i).isBlank()) {
        return true;
      }
    }
    return false;
  }

  /** Turns what the parser threw into what its user can mend. */
  private static BadInput explained(Path path, Exception thrown) {
    for (Throwable t = thrown; t != null; t = t.getCause()) {
      if (t instanceof BadInput known) {
        return known;
      }
      if (t instanceof CharacterCodingException) {
        return Utf8File.notUtf8(path, t);
      }
      if (t instanceof IOException io && t.getCause() == null) {
        return Utf8File.unreadable(path, io);
      }
    }
    String message = String.valueOf(thrown.getMessage());
    Throwable cause = thrown.getCause();
    String detail = cause == null ? message : message + ": " + cause.getMessage();
    return new BadInput(path + ": " + detail + "; expected rows with every quote closed", thrown);
  }

  private CsvRecord current() {
    if (record == null) {
      throw new IllegalStateException("no row yet");
    }
    return record;
  }

  @Override
  public int number() {
    return Math.toIntExact(current().getStartingLineNumber());
  }

  @Override
  public int width() {
    return current().getFieldCount();
  }

  @Override
  public String cell(int column) {
    return current().getField(column).strip();
  }

  @Override
  public boolean ragged() {
    return false;
  }

  @Override
  public boolean allowsDecimalComma() {
    return separator != ',';
  }

  @Override
  public boolean isNumberCell(int column) {
    return false;
  }

  @Override
  public void close() {
    try {
      reader.close();
    } catch (IOException e) {
      throw Utf8File.unreadable(path, e);
    }
  }
}
