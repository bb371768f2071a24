package org.fieldwright.adapters.files;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.fieldwright.adapters.files.Unit.Quantity;
import org.fieldwright.adapters.files.table.Cells;
import org.fieldwright.adapters.files.text.Found;
import org.fieldwright.adapters.files.text.NearestName;
import org.fieldwright.core.BadInput;
import org.jspecify.annotations.Nullable;

/** Which column of a survey means what, and in which unit. */
final class SurveyColumns {
  /** What a column can mean. */
  enum Role {
    ANGLE("angle"),
    PROBE("probe"),
    X("x"),
    Y("y"),
    Z("z"),
    RHO("rho"),
    R("r"),
    AZIMUTH("azimuth"),
    POLAR("polar"),
    FREQUENCY("frequency"),
    FIELD("field"),
    SD("sd"),
    AVERAGES("averages"),
    LOCKED("locked"),
    TIME("time"),
    TURN("turn");

    private final String base;

    Role(String base) {
      this.base = base;
    }

    /** What the column's unit can measure; empty for columns without a unit. */
    private List<Quantity> quantities() {
      return switch (this) {
        case ANGLE, AZIMUTH, POLAR -> List.of(Quantity.ANGLE);
        case X, Y, Z, RHO, R -> List.of(Quantity.LENGTH);
        case FREQUENCY -> List.of(Quantity.FREQUENCY);
        case FIELD -> List.of(Quantity.FIELD);
        case SD -> List.of(Quantity.FREQUENCY, Quantity.FIELD);
        case PROBE, AVERAGES, LOCKED, TIME, TURN -> List.of();
      };
    }

    private static @Nullable Role ofBase(String base) {
      for (Role role : values()) {
        if (role.base.equals(base)) {
          return role;
        }
      }
      return null;
    }

    /** The unit of this spelling, or null. */
    private @Nullable Unit unit(String spelling) {
      for (Quantity quantity : quantities()) {
        Unit unit = quantity.unit(spelling);
        if (unit != null) {
          return unit;
        }
      }
      return null;
    }

    /** Every name a column of this meaning can have. */
    private List<String> names() {
      if (quantities().isEmpty()) {
        return List.of(base);
      }
      return quantities().stream()
          .flatMap(q -> q.units().stream())
          .map(u -> base + "_" + u.symbol())
          .toList();
    }
  }

  /** How the place of a reading is given. */
  enum Places {
    TURNING,
    CARTESIAN,
    CYLINDRICAL,
    SPHERICAL;

    private List<Role> roles() {
      return switch (this) {
        case TURNING -> List.of(Role.ANGLE, Role.PROBE);
        case CARTESIAN -> List.of(Role.X, Role.Y, Role.Z);
        case CYLINDRICAL -> List.of(Role.RHO, Role.AZIMUTH, Role.Z);
        case SPHERICAL -> List.of(Role.R, Role.POLAR, Role.AZIMUTH);
      };
    }
  }

  private static final String KNOWN_PLACES =
      "angle_deg and probe; x_mm, y_mm and z_mm; rho_mm, azimuth_deg and z_mm; or r_mm, polar_deg"
          + " and azimuth_deg (lengths in mm, cm or m)";
  private static final String KNOWN_VALUES =
      "frequency_Hz, frequency_kHz, frequency_MHz, field_T, field_mT, field_uT or field_G";

  private final String where;
  private final String[] header;
  private final Map<Role, Integer> columns = new EnumMap<>(Role.class);
  private final Map<Role, Unit> units = new EnumMap<>(Role.class);
  private final List<String> unknown = new ArrayList<>();
  private final List<String> notes = new ArrayList<>();
  private final Places places;

  SurveyColumns(Cells cells) {
    this.where = cells.headerWhere();
    this.header = cells.header();
    for (int i = 0; i < header.length; i++) {
      assign(i);
    }
    refuseMistypedUnits();
    this.places = findPlaces();
    requireOneValue();
    refuseSlips();
    noteIgnored();
  }

  private void assign(int column) {
    String name = header[column];
    int cut = name.lastIndexOf('_');
    Role plain = Role.ofBase(name.toLowerCase(Locale.ROOT));
    Role role =
        plain != null || cut < 0
            ? plain
            : Role.ofBase(name.substring(0, cut).toLowerCase(Locale.ROOT));
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
      String base = (cut < 0 ? name : name.substring(0, cut)).toLowerCase(Locale.ROOT);
      Role role = Role.ofBase(base);
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
    for (String column : unknown) {
      for (Role role : List.of(Role.AVERAGES, Role.LOCKED, Role.TIME, Role.TURN)) {
        if (!columns.containsKey(role) && NearestName.of(column, role.names()) != null) {
          throw new BadInput(
              where
                  + ": found the unknown column "
                  + Found.quoted(column)
                  + ", did you mean "
                  + role.base
                  + "?");
        }
      }
    }
  }

  private void noteIgnored() {
    if (!unknown.isEmpty()) {
      notes.add("columns without a meaning here are ignored: " + String.join(", ", unknown));
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
            .filter(r -> columns.containsKey(r) && !places.roles().contains(r))
            .toList();
    if (!unused.isEmpty()) {
      notes.add(
          "places are taken from "
              + written(places)
              + "; ignored: "
              + unused.stream().map(this::name).collect(Collectors.joining(", ")));
    }
  }

  Places places() {
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
