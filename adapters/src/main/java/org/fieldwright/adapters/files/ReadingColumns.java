package org.fieldwright.adapters.files;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.EnumSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.fieldwright.adapters.files.table.Cells;
import org.fieldwright.adapters.text.Found;
import org.fieldwright.adapters.text.Unit;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.NearestName;
import org.jspecify.annotations.Nullable;

/** Which column of a table of readings means what, and in which unit. */
final class ReadingColumns {
  private static final String KNOWN_PLACES =
      "angle_deg and probe; x_mm, y_mm and z_mm; rho_mm, azimuth_deg and z_mm; or r_mm, polar_deg"
          + " and azimuth_deg (lengths in mm, cm or m)";
  private static final String KNOWN_VALUES =
      "frequency_Hz, frequency_kHz, frequency_MHz, field_T, field_mT, field_uT or field_G";

  private static final Set<Role> OF_A_LOG =
      EnumSet.of(
          Role.TIME,
          Role.FREQUENCY,
          Role.FIELD,
          Role.PROBE,
          Role.CURRENT,
          Role.TEMPERATURE,
          Role.PRESSURE);

  private final Set<Role> admitted;
  private final String where;
  private final String[] header;
  private final Map<Role, Integer> columns = new EnumMap<>(Role.class);
  private final Map<Role, Unit> units = new EnumMap<>(Role.class);
  private final List<String> unknown = new ArrayList<>();
  private final List<String> notes = new ArrayList<>();
  private final @Nullable Places places;

  ReadingColumns(Cells cells, Set<Role> admitted, boolean placed) {
    this.admitted = admitted;
    this.where = cells.headerWhere();
    this.header = cells.header();
    for (int i = 0; i < header.length; i++) {
      assign(i);
    }
    refuseMistypedUnits();
    this.places = placed ? findPlaces() : null;
    requireOneValue();
    refuseSlips();
    noteIgnored();
  }

  /** A survey: places, a value, and what may be said about it. */
  static ReadingColumns ofSurvey(Cells cells) {
    return new ReadingColumns(
        cells,
        EnumSet.complementOf(EnumSet.of(Role.CURRENT, Role.TEMPERATURE, Role.PRESSURE)),
        true);
  }

  /** A field log: time, a value, and what was logged beside it. */
  static ReadingColumns ofLog(Cells cells) {
    ReadingColumns columns = new ReadingColumns(cells, OF_A_LOG, false);
    if (!columns.has(Role.TIME)) {
      throw new BadInput(
          columns.where + ": found no column time" + ", expected one (ISO 8601 with an offset)");
    }
    return columns;
  }

  /** What a column of this name without its unit means, or null. */
  private @Nullable Role roleOf(String base) {
    Role role = Role.ofBase(base.toLowerCase(Locale.ROOT));
    return role != null && admitted.contains(role) ? role : null;
  }

  private void assign(int column) {
    String name = header[column];
    int cut = name.lastIndexOf('_');
    Role plain = roleOf(name);
    Role role = plain != null || cut < 0 ? plain : roleOf(name.substring(0, cut));
    Unit unit = role == null || cut < 0 ? null : role.unit(name.substring(cut + 1));
    boolean complete = role != null && (role.quantities().isEmpty() ? plain != null : unit != null);
    if (role == null || !complete) {
      unknown.add(name);
      return;
    }
    Integer first = columns.putIfAbsent(role, column);
    if (first != null) {
      throw new BadInput(
          where
              + ": found the columns "
              + Found.quoted(header[first])
              + " and "
              + Found.quoted(name)
              + ", expected one of them");
    }
    if (unit != null) {
      units.put(role, unit);
    }
  }

  /** A known name with a unit that is none of its own: refused unless another column fills in. */
  private void refuseMistypedUnits() {
    for (String name : unknown) {
      int cut = name.lastIndexOf('_');
      String base = cut < 0 ? name : name.substring(0, cut);
      Role role = roleOf(base);
      if (role == null || role.quantities().isEmpty() || columns.containsKey(role)) {
        continue;
      }
      boolean valueGiven = columns.containsKey(Role.FREQUENCY) || columns.containsKey(Role.FIELD);
      if (valueGiven && (role == Role.FREQUENCY || role == Role.FIELD)) {
        continue;
      }
      String unit = cut < 0 ? "" : name.substring(cut + 1);
      boolean swapped =
          (unit.startsWith("m") && role == Role.FREQUENCY)
              || (unit.startsWith("M") && role == Role.FIELD);
      throw new BadInput(
          where
              + ": column "
              + Found.quoted(name)
              + ": found "
              + (unit.isEmpty() ? "no unit" : "the unknown unit " + Found.quoted(unit))
              + ", expected "
              + String.join(", ", role.names())
              + (swapped ? " (m is milli, M is mega)" : ""));
    }
  }

  private Places findPlaces() {
    List<Places> complete =
        Stream.of(Places.values()).filter(p -> columns.keySet().containsAll(p.roles())).toList();
    if (complete.isEmpty()) {
      throw new BadInput(where + ": " + missingPlaces());
    }
    Places first = complete.get(0);
    if (complete.size() > 1 && first != Places.TURNING) {
      throw new BadInput(
          where
              + ": found the places given twice ("
              + complete.stream().map(this::written).collect(Collectors.joining("; "))
              + "), expected one set of coordinates");
    }
    return first;
  }

  private String written(Places p) {
    return p.roles().stream().map(this::name).collect(Collectors.joining(", "));
  }

  private String name(Role role) {
    return header[columns.getOrDefault(role, 0)];
  }

  private String missingPlaces() {
    Places nearest = Places.TURNING;
    long most = -1;
    for (Places p : Places.values()) {
      long present = p.roles().stream().filter(columns::containsKey).count();
      if (present > most) {
        most = present;
        nearest = p;
      }
    }
    if (most <= 0) {
      return "found no columns that tell the place of a reading"
          + slips(Stream.of(Places.values()).flatMap(p -> p.roles().stream()).distinct().toList())
          + ", expected "
          + KNOWN_PLACES;
    }
    List<Role> missing = nearest.roles().stream().filter(r -> !columns.containsKey(r)).toList();
    return "found "
        + nearest.roles().stream()
            .filter(columns::containsKey)
            .map(this::name)
            .collect(Collectors.joining(", "))
        + " without "
        + missing.stream()
            .map(r -> r.names().get(r.names().size() - 1))
            .collect(Collectors.joining(", "))
        + slips(missing)
        + ", expected "
        + KNOWN_PLACES;
  }

  /** The unknown columns that look like a slip of the pen for one of these. */
  private String slips(List<Role> wanted) {
    List<String> names = wanted.stream().flatMap(r -> r.names().stream()).toList();
    List<String> found = new ArrayList<>();
    for (String column : unknown) {
      String near = NearestName.of(column, names);
      if (near != null) {
        found.add(Found.quoted(column) + ": did you mean " + near + "?");
      }
    }
    return found.isEmpty() ? "" : " (" + String.join("; ", found) + ")";
  }

  private void requireOneValue() {
    boolean frequency = columns.containsKey(Role.FREQUENCY);
    boolean field = columns.containsKey(Role.FIELD);
    if (frequency && field) {
      throw new BadInput(
          where
              + ": found two value columns, "
              + name(Role.FREQUENCY)
              + " and "
              + name(Role.FIELD)
              + ", expected one of them");
    }
    if (!frequency && !field) {
      throw new BadInput(
          where
              + ": found no value column"
              + slips(List.of(Role.FREQUENCY, Role.FIELD))
              + ", expected "
              + KNOWN_VALUES);
    }
  }

  /** An optional column with a slip in its name would otherwise be lost without a word. */
  private void refuseSlips() {
    Set<Role> optional = EnumSet.range(Role.AVERAGES, Role.PRESSURE);
    if (places == null) {
      optional.add(Role.PROBE);
    }
    optional.retainAll(admitted);
    for (String column : unknown) {
      for (Role role : optional) {
        if (!columns.containsKey(role) && NearestName.of(column, role.names()) != null) {
          throw new BadInput(
              where
                  + ": found the unknown column "
                  + Found.quoted(column)
                  + ", did you mean "
                  + role.names().get(0)
                  + "?");
        }
      }
    }
  }

  private void noteIgnored() {
    if (!unknown.isEmpty()) {
      notes.add("columns without a meaning here are ignored: " + String.join(", ", unknown));
    }
    Places taken = places;
    if (taken == null) {
      return;
    }
    List<Role> unused =
        Stream.of(
                Role.ANGLE,
                Role.PROBE,
                Role.X,
                Role.Y,
                Role.Z,
                Role.RHO,
                Role.R,
                Role.AZIMUTH,
                Role.POLAR)
            .filter(r -> columns.containsKey(r) && !taken.roles().contains(r))
            .toList();
    if (!unused.isEmpty()) {
      notes.add(
          "places are taken from "
              + written(taken)
              + "; ignored: "
              + unused.stream().map(this::name).collect(Collectors.joining(", ")));
    }
  }

  /** How the places of a survey are given. */
  Places places() {
    if (places == null) {
      throw new IllegalStateException("a log has no places");
    }
    return places;
  }

  List<String> notes() {
    return List.copyOf(notes);
  }

  boolean has(Role role) {
    return columns.containsKey(role);
  }

  /** Index of a column that is there. */
  int at(Role role) {
    Integer column = columns.get(role);
    if (column == null) {
      throw new IllegalStateException("no column " + role);
    }
    return column;
  }

  /** Unit of a column that is there and has one. */
  Unit unit(Role role) {
    Unit unit = units.get(role);
    if (unit == null) {
      throw new IllegalStateException("no unit of " + role);
    }
    return unit;
  }
}
