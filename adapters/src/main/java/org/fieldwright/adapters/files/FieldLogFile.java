package org.fieldwright.adapters.files;

import java.nio.file.Path;
import org.fieldwright.adapters.files.table.Cells;
import org.fieldwright.adapters.files.table.Rows;
import org.fieldwright.adapters.text.Timestamp;
import org.fieldwright.adapters.text.Unit.Quantity;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.stability.FieldLog;

/**
 * A field log from delimited text or a spreadsheet's first sheet, as docs/formats/field-log.md
 * describes. Rows stream into flat columns: besides the {@link FieldLog} only one row is held. Up
 * to {@value #MOST_ROWS} samples in {@value #MOST_MIB} MiB. An empty value is a lost lock.
 */
public final class FieldLogFile {
  private static final int MOST_ROWS = 20_000_000;
  private static final int MOST_MIB = 2048;

  /** Steps that betray a change of unit from one row to the next: kHz, MHz, gauss for tesla. */
  private static final double[] UNIT_STEPS = {1e3, 1e4, 1e6};

  /** A ramp or a quench passes through such ratios too, but hardly ever within this of one. */
  private static final double UNIT_STEP_TOLERANCE = 2e-3;

  private final Cells cells;
  private final ReadingColumns columns;
  private final Role value;
  private final double perTesla;
  private final FieldLog.Builder log = new FieldLog.Builder();
  private double before = Double.NaN;

  private FieldLogFile(Cells cells, double gammaMHzPerT) {
    this.cells = cells;
    this.columns = ReadingColumns.ofLog(cells);
    this.value = columns.has(Role.FREQUENCY) ? Role.FREQUENCY : Role.FIELD;
    boolean frequency = columns.unit(value).quantity() == Quantity.FREQUENCY;
    this.perTesla = frequency ? gammaMHzPerT * 1e6 : 1;
  }

  /**
   * Reads the log.
   *
   * @param gammaMHzPerT γ/2π of the sample, which turns frequencies into fields
   */
  public static FieldLog read(Path path, double gammaMHzPerT) {
    String file = path.toString();
    try (Rows rows = Rows.open(path, (long) MOST_MIB << 20)) {
      FieldLogFile reader = new FieldLogFile(new Cells(file, rows), gammaMHzPerT);
      while (reader.cells.advance()) {
        reader.addSample();
      }
      if (reader.log.size() == 0) {
        throw new BadInput(
            reader.cells.headerWhere()
                + ": found a header but no sample, expected at least one row");
      }
      return reader.log.remarks(rows.remarks()).build();
    }
  }

  private void addSample() {
    if (log.size() == MOST_ROWS) {
      throw new BadInput(
          cells.where() + ": found more than " + MOST_ROWS + " samples, expected fewer");
    }
    Timestamp time = cells.time(columns.at(Role.TIME));
    if (time == null) {
      throw cells.complain(columns.at(Role.TIME), Timestamp.EXPECTED);
    }
    double field = columns.unit(value).toSi(cells.number(columns.at(value))) / perTesla;
    refuseChangeOfUnit(field);
    try {
      log.add(
          time.epochSecond(),
          time.nano(),
          field,
          probe(),
          other(Role.CURRENT),
          other(Role.TEMPERATURE),
          other(Role.PRESSURE));
    } catch (BadInput e) {
      throw new BadInput(cells.where() + ": " + e.getMessage(), e);
    }
  }

  private int probe() {
    Integer id =
        columns.has(Role.PROBE)
            ? cells.integer(columns.at(Role.PROBE), "the whole-number id of a probe")
            : null;
    return id == null ? FieldLog.Builder.NO_PROBE : id;
  }

  private double other(Role role) {
    return columns.has(role) ? cells.number(columns.at(role)) : Double.NaN;
  }

  private void refuseChangeOfUnit(double field) {
    double ratio = Math.max(Math.abs(field / before), Math.abs(before / field));
    for (double step : UNIT_STEPS) {
      if (Math.abs(ratio / step - 1) < UNIT_STEP_TOLERANCE) {
        throw cells.complain(
            columns.at(value),
            "the unit of the column throughout (it differs from the row above by a factor of "
                + (long) step
                + ")");
      }
    }
    before = Double.isNaN(field) ? before : field;
  }
}
