package org.fieldwright.adapters.files;

import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.stream.Collectors;
import org.fieldwright.adapters.files.table.Cells;
import org.fieldwright.adapters.files.table.Rows;
import org.fieldwright.adapters.text.Timestamp;
import org.fieldwright.adapters.text.Unit;
import org.fieldwright.adapters.text.Unit.Quantity;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.magnet.Magnet;
import org.fieldwright.core.reading.Probe;
import org.fieldwright.core.reading.Reading;
import org.fieldwright.core.reading.Survey;
import org.fieldwright.core.reading.Survey.Kind;
import org.jspecify.annotations.Nullable;

/**
 * A survey from delimited text or a spreadsheet's first sheet, as docs/formats/survey.md describes.
 * Nothing is judged here: rows without a value stay in, as readings without a field. Up to {@value
 * #MOST_ROWS} readings in {@value #MOST_MIB} MiB.
 */
public final class SurveyFile {
  private static final int MOST_ROWS = 2_000_000;
  private static final int MOST_MIB = 256;
  private static final String COUNT = "a whole number of at least 0";

  private final Cells cells;
  private final ReadingColumns columns;
  private final double gammaHzPerT;
  private final Map<Integer, Probe> probes = new HashMap<>();

  private SurveyFile(Cells cells, Magnet magnet) {
    this.cells = cells;
    this.columns = ReadingColumns.ofSurvey(cells);
    this.gammaHzPerT = magnet.array().gammaMHzPerT() * 1e6;
    magnet.array().probes().forEach(p -> probes.put(p.id(), p));
  }

  /** Reads the survey; frequencies become fields by the sample of the magnet's array. */
  public static Survey read(Path path, Magnet magnet) {
    String file = path.toString();
    try (Rows rows = Rows.open(path, (long) MOST_MIB << 20)) {
      SurveyFile reader = new SurveyFile(new Cells(file, rows), magnet);
      List<Reading> readings = reader.readings();
      boolean turning = reader.columns.places() == Places.TURNING;
      return new Survey(
          String.valueOf(path.getFileName()),
          turning ? Kind.TURNING_ARRAY : Kind.FREE_POINTS,
          readings,
          reader.columns.has(Role.FREQUENCY),
          rows.remarks(),
          reader.columns.notes());
    }
  }

  private List<Reading> readings() {
    if (columns.places() == Places.TURNING && probes.isEmpty()) {
      throw new BadInput(
          cells.headerWhere()
              + ": found readings of a turning array, expected a magnet file whose array.probes"
              + " describe it");
    }
    List<Reading> readings = new ArrayList<>();
    while (cells.advance()) {
      if (readings.size() == MOST_ROWS) {
        throw new BadInput(
            cells.where() + ": found more than " + MOST_ROWS + " readings, expected fewer");
      }
      readings.add(reading());
    }
    if (readings.isEmpty()) {
      throw new BadInput(
          cells.headerWhere() + ": found a header but no reading, expected at least one row");
    }
    return readings;
  }

  private Reading reading() {
    boolean turning = columns.places() == Places.TURNING;
    Probe probe = turning ? probe() : null;
    Double angle = turning ? (Double) required(Role.ANGLE) : null;
    Integer averages = count(Role.AVERAGES);
    Integer locked = count(Role.LOCKED);
    if (averages != null && locked != null && locked > averages) {
      throw cells.complain(columns.at(Role.LOCKED), "at most the number of averages, " + averages);
    }
    Double field = field();
    if (averages != null && averages == 0 && field != null && !Objects.equals(locked, 0)) {
      throw cells.complain(columns.at(Role.AVERAGES), "at least 1 where there is a value");
    }
    return new Reading(
        cells.row(),
        probe == null ? null : (Integer) probe.id(),
        angle,
        probe == null || angle == null ? freePoint() : turned(probe, angle),
        field,
        sd(),
        averages,
        locked,
        time(),
        columns.has(Role.TURN) ? cells.integer(columns.at(Role.TURN), "a whole number") : null);
  }

  private Probe probe() {
    int column = columns.at(Role.PROBE);
    Integer id = cells.integer(column, "the whole-number id of a probe");
    Probe probe = id == null ? null : probes.get(id);
    if (probe == null) {
      throw cells.complain(column, "the id of a probe of the magnet file (" + knownProbes() + ")");
    }
    return probe;
  }

  private String knownProbes() {
    List<Integer> ids = probes.keySet().stream().sorted().toList();
    int first = ids.get(0);
    int last = ids.get(ids.size() - 1);
    return last - first + 1 == ids.size()
        ? first + " to " + last
        : ids.stream().map(String::valueOf).collect(Collectors.joining(", "));
  }

  /** A polar angle above π puts the probe in the other half of the turning plane. */
  private static Vec3 turned(Probe probe, double angleDeg) {
    return Vec3.spherical(probe.radius(), probe.polar(), Math.toRadians(angleDeg));
  }

  private Vec3 freePoint() {
    return switch (columns.places()) {
      case TURNING -> throw new IllegalStateException("a turning array has no free points");
      case CARTESIAN -> new Vec3(length(Role.X), length(Role.Y), length(Role.Z));
      case CYLINDRICAL ->
          Vec3.cylindrical(
              notNegative(Role.RHO), Math.toRadians(required(Role.AZIMUTH)), length(Role.Z));
      case SPHERICAL -> {
        double polar = required(Role.POLAR);
        if (polar < 0 || polar > 180) {
          throw cells.complain(columns.at(Role.POLAR), "an angle from 0 to 180 degrees");
        }
        yield Vec3.spherical(
            notNegative(Role.R), Math.toRadians(polar), Math.toRadians(required(Role.AZIMUTH)));
      }
    };
  }

  private double length(Role role) {
    return columns.unit(role).toSi(required(role));
  }

  private double notNegative(Role role) {
    double length = length(role);
    if (length < 0) {
      throw cells.complain(columns.at(role), "a distance of at least 0");
    }
    return length;
  }

  /** In the unit of the file. */
  private double required(Role role) {
    return cells.requireNumber(columns.at(role), "a finite number");
  }

  private @Nullable Double field() {
    boolean frequency = columns.has(Role.FREQUENCY);
    Role role = frequency ? Role.FREQUENCY : Role.FIELD;
    double value = cells.number(columns.at(role));
    if (Double.isNaN(value)) {
      return null;
    }
    if (frequency && value < 0) {
      throw cells.complain(columns.at(role), "a frequency of at least 0");
    }
    return tesla(role, value);
  }

  private double tesla(Role role, double value) {
    Unit unit = columns.unit(role);
    double si = unit.toSi(value);
    return unit.quantity() == Quantity.FREQUENCY ? si / gammaHzPerT : si;
  }

  private @Nullable Double sd() {
    double value = columns.has(Role.SD) ? cells.number(columns.at(Role.SD)) : Double.NaN;
    if (value < 0) {
      throw cells.complain(columns.at(Role.SD), "a standard deviation of at least 0");
    }
    return Double.isNaN(value) ? null : (Double) tesla(Role.SD, value);
  }

  private @Nullable Integer count(Role role) {
    Integer value = columns.has(role) ? cells.integer(columns.at(role), COUNT) : null;
    if (value != null && value < 0) {
      throw cells.complain(columns.at(role), COUNT);
    }
    return value;
  }

  private @Nullable Instant time() {
    Timestamp time = columns.has(Role.TIME) ? cells.time(columns.at(Role.TIME)) : null;
    return time == null ? null : time.instant();
  }
}
