package org.fieldwright.adapters.files.table;

import org.fieldwright.adapters.text.Found;
import org.fieldwright.adapters.text.Numbers;
import org.fieldwright.adapters.text.Timestamp;
import org.fieldwright.core.BadInput;
import org.jspecify.annotations.Nullable;

/**
 * Typed cells of the row a cursor stands on. Every refusal names file, row and column. An empty
 * cell is null, or NaN for {@link #number}; the decimal mark must be the same in the whole table.
 */
public final class Cells {
  private final String file;
  private final Rows rows;
  private final String[] header;
  private final int headerRow;
  private final Timestamp timestamp = new Timestamp();
  private char decimalMark; // 0 until one has been seen
  private int decimalMarkRow;

  /** Reads the header row. */
  public Cells(String file, Rows rows) {
    this.file = file;
    this.rows = rows;
    if (!rows.advance()) {
      throw new BadInput(file + ":1: found no header line, expected the names of columns");
    }
    int width = rows.width();
    while (width > 0 && rows.cell(width - 1).isEmpty()) {
      width--;
    }
    this.header = new String[width];
    for (int i = 0; i < width; i++) {
      header[i] = rows.cell(i);
    }
    this.headerRow = rows.number();
  }

  /** {@code file:row} of the header. */
  public String headerWhere() {
    return file + ":" + headerRow;
  }

  /** Names of the columns as written. */
  public String[] header() {
    return header.clone();
  }

  /** Moves to the next row, whose number of cells must be that of the header. */
  public boolean advance() {
    if (!rows.advance()) {
      return false;
    }
    int width = rows.width();
    if (width < header.length && !rows.ragged()) {
      throw new BadInput(
          where() + ": found " + width + " cells, expected " + header.length + " as in the header");
    }
    for (int i = header.length; i < width; i++) {
      if (!rows.cell(i).isEmpty()) {
        throw new BadInput(
            where()
                + ": found "
                + width
                + " cells, expected "
                + header.length
                + " as in the header (a decimal comma needs semicolons or tabs between cells)");
      }
    }
    return true;
  }

  /** Physical row. */
  public int row() {
    return rows.number();
  }

  /** {@code file:row}. */
  public String where() {
    return file + ":" + rows.number();
  }

  /** The cell's text; empty beyond the end of a ragged row. */
  public String text(int column) {
    return column < rows.width() ? rows.cell(column) : "";
  }

  /** A whole number that must be there. */
  public int requireInteger(int column, int low, int high) {
    String expected = "a whole number from " + low + " to " + high;
    Integer value = integer(column, expected);
    if (value == null || value < low || value > high) {
      throw complain(column, expected);
    }
    return value;
  }

  /** A finite number that must be there. */
  public double requireNumber(int column, String expected) {
    double value = number(column);
    if (Double.isNaN(value)) {
      throw complain(column, expected);
    }
    return value;
  }

  /** A finite number, or NaN if the cell is empty. */
  public double number(int column) {
    String s = text(column);
    if (s.isEmpty()) {
      return Double.NaN;
    }
    boolean comma = s.indexOf(',') >= 0;
    if (comma && !rows.allowsDecimalComma()) {
      throw complain(column, "a number with a decimal point");
    }
    double value = Numbers.parse(s, comma ? ',' : '.');
    if (Double.isNaN(value)) {
      throw complain(column, "a finite number such as 23.4167 (leave the cell empty if missing)");
    }
    if (comma || s.indexOf('.') >= 0) {
      requireSameMark(column, comma ? ',' : '.');
    }
    return value;
  }

  /** In a table that writes 23,41 the text 23.410 means something else. */
  private void requireSameMark(int column, char mark) {
    if (decimalMark == 0) {
      decimalMark = mark;
      decimalMarkRow = rows.number();
    } else if (decimalMark != mark && !rows.isNumberCell(column)) {
      throw complain(column, "the decimal mark '" + decimalMark + "' as in row " + decimalMarkRow);
    }
  }

  /** A whole number, or null if the cell is empty. */
  public @Nullable Integer integer(int column, String expected) {
    double value = number(column);
    if (Double.isNaN(value)) {
      return null;
    }
    if (value != Math.rint(value) || Math.abs(value) > Integer.MAX_VALUE) {
      throw complain(column, expected);
    }
    return (int) value;
  }

  /** A point in time, or null if the cell is empty. The result is overwritten by the next call. */
  public @Nullable Timestamp time(int column) {
    String s = text(column);
    if (s.isEmpty()) {
      return null;
    }
    if (rows.isNumberCell(column)) {
      throw complain(column, Timestamp.EXPECTED + ", written as text (a date cell has no offset)");
    }
    String wrong = timestamp.read(s);
    if (wrong != null) {
      throw complain(column, wrong);
    }
    return timestamp;
  }

  /** The complaint about a cell. */
  public BadInput complain(int column, String expected) {
    return Found.instead(where(), header[column], text(column), expected);
  }
}
