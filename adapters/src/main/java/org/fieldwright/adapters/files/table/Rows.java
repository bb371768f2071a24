package org.fieldwright.adapters.files.table;

import java.io.Closeable;
import java.nio.file.Path;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.Map;

/**
 * A cursor over the rows of a table; the first is the header. Rows without any content and lines
 * that start with {@code #} are passed over, but counted in {@link #number()}.
 */
public abstract class Rows implements Closeable {
  private static final int MOST_REMARKS = 1000;

  private final Map<String, String> remarks = new LinkedHashMap<>();
  private boolean begun;

  /**
   * Opens a spreadsheet's first sheet or delimited text, told apart by content, not by name.
   *
   * @param maxBytes bound on the text, or on what a spreadsheet unpacks to
   */
  public static Rows open(Path path, long maxBytes) {
    return XlsxRows.isZip(path)
        ? XlsxRows.ofWorkbook(path, maxBytes)
        : CsvRows.ofText(path, maxBytes);
  }

  /** Moves to the next row; false at the end. */
  public final boolean advance() {
    boolean found = next();
    begun = true;
    return found;
  }

  /** Moves to the next row that has content and is no remark. */
  protected abstract boolean next();

  /** Physical row of the file, from 1; for a record over several lines its first. */
  public abstract int number();

  /** How many cells the row holds. */
  public abstract int width();

  /** The cell's text without surrounding blanks. */
  public abstract String cell(int column);

  /** Whether cells beyond the last one with content may be absent. */
  public abstract boolean ragged();

  /** Whether a comma may stand for the decimal point. */
  public abstract boolean allowsDecimalComma();

  /** Whether the cell is a number by type, not text that looks like one. */
  public abstract boolean isNumberCell(int column);

  /**
   * The {@code # key: value} lines before the header; complete once the header has been reached.
   */
  public final Map<String, String> remarks() {
    return Collections.unmodifiableMap(remarks);
  }

  /** Keeps a comment of the form {@code key: value} that stands before the header. */
  protected final void remark(String comment) {
    int colon = comment.indexOf(':');
    if (!begun && colon > 0 && remarks.size() < MOST_REMARKS) {
      remarks.put(comment.substring(0, colon).strip(), comment.substring(colon + 1).strip());
    }
  }

  @Override
  public abstract void close();
}
