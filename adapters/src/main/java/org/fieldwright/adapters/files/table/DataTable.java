package org.fieldwright.adapters.files.table;

import de.siegmar.fastcsv.reader.CsvParseException;
import de.siegmar.fastcsv.reader.CsvReader;
import de.siegmar.fastcsv.reader.CsvRecord;
import java.io.StringReader;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import org.fieldwright.adapters.text.SafeCell;
import org.fieldwright.core.BadInput;
import org.jspecify.annotations.Nullable;

/**
 * A table that the program writes, as CSV (RFC 4180), with what a schema says of it.
 *
 * @param remarks lines before the header that begin with #
 * @param fields the columns
 * @param rows of texts, numbers and, where there is nothing, null; as many as there are fields
 */
public record DataTable(
    List<String> remarks, List<Field> fields, List<List<@Nullable Object>> rows) {

  public DataTable {
    remarks = List.copyOf(remarks);
    fields = List.copyOf(fields);
    rows = List.copyOf(rows);
  }

  /** What a column holds, in the words of the Table Schema standard. */
  public enum ColumnType {
    STRING("string"),
    INTEGER("integer"),
    NUMBER("number"),
    DATETIME("datetime");

    private final String id;

    ColumnType(String id) {
      this.id = id;
    }

    /** The name used in schemas. */
    public String id() {
      return id;
    }

    /** Whether it holds numbers. */
    public boolean isNumeric() {
      return this == INTEGER || this == NUMBER;
    }
  }

  /**
   * A column.
   *
   * @param unit null where it has none
   * @param says what it holds, in a few words
   */
  public record Field(String name, ColumnType type, @Nullable String unit, String says) {}

  /** The text of the file. */
  public String csv() {
    StringBuilder out = new StringBuilder();
    remarks.forEach(r -> out.append("# ").append(r).append('\n'));
    out.append(String.join(",", fields.stream().map(Field::name).toList())).append('\n');
    for (List<@Nullable Object> row : rows) {
      out.append(String.join(",", row.stream().map(DataTable::cell).toList())).append('\n');
    }
    return out.toString();
  }

  private static String cell(@Nullable Object value) {
    if (value == null) {
      return "";
    }
    if (value instanceof Double d && !Double.isFinite(d)) {
      return Double.isNaN(d) ? "NaN" : d > 0 ? "INF" : "-INF"; // as Table Schema writes them
    }
    return value instanceof Number ? value.toString() : SafeCell.of(value.toString());
  }

  /**
   * The records of a CSV file, remarks as records of one cell.
   *
   * @param file named in complaints
   */
  public static List<List<String>> parse(String file, String text) {
    List<List<String>> all = new ArrayList<>();
    int from = 0;
    while (text.startsWith("#", from)) {
      int end = text.indexOf('\n', from);
      all.add(List.of(text.substring(from, end < 0 ? text.length() : end)));
      from = end < 0 ? text.length() : end + 1;
    }
    try (Stream<CsvRecord> records =
        CsvReader.builder()
            .skipEmptyLines(false)
            .ofCsvRecord(new StringReader(text.substring(from)))
            .stream()) {
      records.forEach(r -> all.add(r.getFields()));
    } catch (CsvParseException e) {
      throw new BadInput(file + ": is no CSV table (" + e.getMessage() + ")", e);
    }
    return all;
  }
}
