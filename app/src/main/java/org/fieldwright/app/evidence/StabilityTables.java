package org.fieldwright.app.evidence;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.fieldwright.adapters.files.table.DataTable;
import org.fieldwright.adapters.files.table.DataTable.ColumnType;
import org.fieldwright.adapters.files.table.DataTable.Field;
import org.fieldwright.adapters.report.VisitReport;
import org.fieldwright.core.stability.DeviationKind;
import org.fieldwright.core.stability.DeviationTable;
import org.fieldwright.core.stability.DriftVerdict;
import org.fieldwright.core.stability.LogEvent;
import org.fieldwright.core.stability.StabilityReport;
import org.jspecify.annotations.Nullable;

/** What a field log says, as tables for a spreadsheet. */
final class StabilityTables {
  private StabilityTables() {}

  static void put(Map<String, DataTable> tables, String at, VisitReport.Log log) {
    tables.put(at + "verdicts.csv", verdicts(log));
    tables.put(at + "events.csv", events(log));
    tables.put(at + "forecast.csv", forecast(log));
    tables.put(at + "deviations.csv", deviations(log.report().deviations()));
  }

  private static DataTable verdicts(VisitReport.Log log) {
    List<List<@Nullable Object>> rows = new ArrayList<>();
    for (DriftVerdict v : log.report().limits()) {
      rows.add(
          EvidenceTables.row(
              v.limit().id(),
              v.valuePpmPerHour(),
              v.uncertaintyPpmPerHour(),
              v.limit().limit(),
              v.verdict().id(),
              v.inLimitFrom() == null ? null : log.at(v.inLimitFrom()).toString()));
    }
    return new DataTable(
        List.of(),
        List.of(
            new Field("limit", ColumnType.STRING, null, "id of the limit"),
            new Field("value_ppm_per_hour", ColumnType.NUMBER, "ppm/h", "size of the drift"),
            new Field(
                "uncertainty_ppm_per_hour", ColumnType.NUMBER, "ppm/h", "one standard uncertainty"),
            new Field("limit_ppm_per_hour", ColumnType.NUMBER, "ppm/h", "what is allowed"),
            new Field("verdict", ColumnType.STRING, null, "met, not_met, undecided, not_assessed"),
            new Field(
                "in_limit_from", ColumnType.DATETIME, null, "from when on the limit is kept")),
        rows);
  }

  private static DataTable events(VisitReport.Log log) {
    List<List<@Nullable Object>> rows = new ArrayList<>();
    for (LogEvent e : log.report().events()) {
      rows.add(
          EvidenceTables.row(
              e.kind().id(),
              log.at(e.start()).toString(),
              log.at(e.end()).toString(),
              e.duration(),
              e.sizePpm()));
    }
    return new DataTable(
        List.of(),
        List.of(
            new Field("kind", ColumnType.STRING, null, "what it looks like"),
            new Field("start", ColumnType.DATETIME, null, "first sample it touches"),
            new Field("end", ColumnType.DATETIME, null, "last sample it touches"),
            new Field("duration_s", ColumnType.NUMBER, "s", "from start to end"),
            new Field("size_ppm", ColumnType.NUMBER, "ppm", "signed height")),
        rows);
  }

  private static DataTable forecast(VisitReport.Log log) {
    List<List<@Nullable Object>> rows = new ArrayList<>();
    for (StabilityReport.ForecastPoint p : log.report().forecast()) {
      rows.add(
          EvidenceTables.row(
              log.at(p.time()).toString(),
              p.fieldPpm().value(),
              p.fieldPpm().uncertainty(),
              p.ratePpmPerHour().value(),
              p.ratePpmPerHour().uncertainty()));
    }
    return new DataTable(
        List.of(),
        List.of(
            new Field("time", ColumnType.DATETIME, null, "after the end of the log"),
            new Field("field_ppm", ColumnType.NUMBER, "ppm", "of the log's reference"),
            new Field(
                "field_uncertainty_ppm", ColumnType.NUMBER, "ppm", "one standard uncertainty"),
            new Field("rate_ppm_per_hour", ColumnType.NUMBER, "ppm/h", "of the trend"),
            new Field(
                "rate_uncertainty_ppm_per_hour",
                ColumnType.NUMBER,
                "ppm/h",
                "one standard uncertainty")),
        rows);
  }

  private static DataTable deviations(@Nullable DeviationTable table) {
    List<List<@Nullable Object>> rows = new ArrayList<>();
    for (DeviationTable.Row r : table == null ? List.<DeviationTable.Row>of() : table.rows()) {
      boolean time = r.kind() == DeviationKind.TIME || r.kind() == DeviationKind.TIME_TOTAL;
      rows.add(
          EvidenceTables.row(
              r.kind().id(),
              r.factor(),
              r.tau(),
              r.value(),
              r.low(),
              r.high(),
              time ? "ppm s" : "ppm",
              r.noise().id(),
              r.degreesOfFreedom()));
    }
    return new DataTable(
        List.of(),
        List.of(
            new Field("kind", ColumnType.STRING, null, "kind of deviation"),
            new Field("factor", ColumnType.INTEGER, null, "averaging factor"),
            new Field("tau_s", ColumnType.NUMBER, "s", "averaging time"),
            new Field("value", ColumnType.NUMBER, null, "in the unit of the row"),
            new Field("low", ColumnType.NUMBER, null, "lower end of the 68 % interval"),
            new Field("high", ColumnType.NUMBER, null, "upper end"),
            new Field("unit", ColumnType.STRING, null, "of value, low and high"),
            new Field("noise", ColumnType.STRING, null, "kind of noise found at this factor"),
            new Field("degrees_of_freedom", ColumnType.NUMBER, null, "equivalent, of chi squared")),
        rows);
  }
}
