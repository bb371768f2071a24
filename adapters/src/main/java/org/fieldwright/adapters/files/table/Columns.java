package org.fieldwright.adapters.files.table;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.stream.Stream;
import org.fieldwright.adapters.text.Found;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.NearestName;

/**
 * Where the columns of a fixed set stand in a header. Case does not count; columns of other names
 * are ignored, unless one looks like a slip of the pen for a column that is not there.
 */
public final class Columns {
  private final Map<String, Integer> places = new HashMap<>();
  private final List<String> ignored = new ArrayList<>();

  private Columns() {}

  /** Finds the columns, or refuses the header with what is missing and what was perhaps meant. */
  public static Columns of(Cells cells, List<String> required, List<String> optional) {
    Columns columns = new Columns();
    List<String> known = Stream.concat(required.stream(), optional.stream()).toList();
    String[] header = cells.header();
    List<String> others = new ArrayList<>();
    for (int i = 0; i < header.length; i++) {
      String name = header[i].toLowerCase(Locale.ROOT);
      if (!known.contains(name)) {
        others.add(header[i]);
      } else if (columns.places.put(name, i) != null) {
        throw new BadInput(
            cells.headerWhere() + ": column " + name + ": found twice, expected once");
      }
    }
    for (String name : required) {
      if (!columns.has(name)) {
        throw missing(cells, name, header);
      }
    }
    for (String name : others) {
      List<String> absent = known.stream().filter(k -> !columns.has(k)).toList();
      String meant = NearestName.of(name, absent);
      if (meant != null) {
        throw new BadInput(
            cells.headerWhere()
                + ": found the unknown column "
                + Found.quoted(name)
                + ", did you mean "
                + meant
                + "?");
      }
      columns.ignored.add(name);
    }
    return columns;
  }

  private static BadInput missing(Cells cells, String name, String[] header) {
    String near = NearestName.of(name, List.of(header));
    return new BadInput(
        cells.headerWhere()
            + ": found no column "
            + name
            + (near == null ? "" : " (" + Found.quoted(near) + " is near)")
            + ", expected it beside "
            + Found.quoted(String.join(",", header)));
  }

  public boolean has(String name) {
    return places.containsKey(name);
  }

  /** Index of the column; −1 if it is not there. */
  public int at(String name) {
    return places.getOrDefault(name, -1);
  }

  /** Names of the columns that mean nothing here. */
  public List<String> ignored() {
    return List.copyOf(ignored);
  }
}
