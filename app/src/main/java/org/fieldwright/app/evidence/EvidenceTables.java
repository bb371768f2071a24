package org.fieldwright.app.evidence;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;
import org.fieldwright.adapters.files.LoadingSheetFile;
import org.fieldwright.adapters.files.table.DataTable;
import org.fieldwright.adapters.files.table.DataTable.ColumnType;
import org.fieldwright.adapters.files.table.DataTable.Field;
import org.fieldwright.app.assess.Assessment;
import org.fieldwright.core.correction.IronSystem;
import org.fieldwright.core.correction.LoadingSteps;
import org.fieldwright.core.correction.Plan;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.harmonic.Term;
import org.fieldwright.core.homogeneity.ConformityRisk;
import org.fieldwright.core.homogeneity.LimitResult;
import org.fieldwright.core.reading.Reading;
import org.fieldwright.core.reading.VettedSurvey;
import org.fieldwright.core.uncertainty.UncertaintyBudget;
import org.jspecify.annotations.Nullable;

/** The results of a visit as tables for a spreadsheet, by their path in a bundle. */
final class EvidenceTables {
  static final String FOLDER = "tables/";
  private static final double MM = 1e3;

  private EvidenceTables() {}

  static Map<String, DataTable> of(VisitResults results) {
    Map<String, DataTable> tables = new LinkedHashMap<>();
    survey(tables, FOLDER + "survey/", results.found());
    for (int k = 0; k < results.rounds().size(); k++) {
      VisitResults.Round round = results.rounds().get(k);
      String at = FOLDER + "round-" + (k + 1) + "/";
      Plan plan = round.plan();
      IronSystem iron = round.before().magnet().iron();
      if (plan != null && iron != null) {
        LoadingSteps steps = new LoadingSteps(plan.installed(), plan.planned(), iron);
        tables.put(at + "loading-sheet.csv", LoadingSheetFile.table(steps, iron.plusZEnd()));
        tables.put(at + "predicted.csv", verdicts(plan.predictedLimits()));
      }
      if (round.after() != null) {
        survey(tables, at + "survey/", round.after());
      }
    }
    for (VisitResults.Logged log : results.logs()) {
      StabilityTables.put(tables, FOLDER + log.at(), log.paper());
    }
    return tables;
  }

  private static void survey(Map<String, DataTable> tables, String at, Assessment a) {
    tables.put(at + "readings.csv", readings(a));
    tables.put(at + "harmonics.csv", harmonics(a.model()));
    tables.put(at + "verdicts.csv", verdicts(a.limits()));
    tables.put(at + "budget.csv", budget(a.limits()));
  }

  /** A row of numbers, texts and, where there is nothing, null. */
  static List<@Nullable Object> row(@Nullable Object... cells) {
    return Collections.unmodifiableList(new ArrayList<>(Arrays.asList(cells)));
  }

  private static DataTable readings(Assessment a) {
    VettedSurvey v = a.vetted();
    Map<Integer, List<@Nullable Object>> rows = new TreeMap<>();
    for (VettedSurvey.Used u : v.used()) {
      rows.put(u.reading().row(), reading(u.reading(), "used", null, u.field(), u.residualPpm()));
    }
    for (VettedSurvey.SetAside s : v.setAside()) {
      rows.put(s.reading().row(), reading(s.reading(), "set_aside", s.why().id(), null, s.ppm()));
    }
    for (Reading r : v.revisits()) {
      rows.put(r.row(), reading(r, "revisit", null, null, null));
    }
    return new DataTable(
        List.of(),
        List.of(
            new Field("row", ColumnType.INTEGER, null, "row of the survey file, from 1"),
            new Field("probe", ColumnType.INTEGER, null, "probe that took it"),
            new Field("angle_deg", ColumnType.NUMBER, "deg", "angle of the array"),
            new Field("x_mm", ColumnType.NUMBER, "mm", "place"),
            new Field("y_mm", ColumnType.NUMBER, "mm", "place"),
            new Field("z_mm", ColumnType.NUMBER, "mm", "place"),
            new Field("time", ColumnType.DATETIME, null, "when it was taken"),
            new Field("field_T", ColumnType.NUMBER, "T", "as read"),
            new Field("state", ColumnType.STRING, null, "used, set_aside or revisit"),
            new Field("why", ColumnType.STRING, null, "why it was set aside"),
            new Field(
                "corrected_T", ColumnType.NUMBER, "T", "less the probe's offset and the drift"),
            new Field("residual_ppm", ColumnType.NUMBER, "ppm", "reading less fit")),
        List.copyOf(rows.values()));
  }

  private static List<@Nullable Object> reading(
      Reading r,
      String state,
      @Nullable String why,
      @Nullable Double corrected,
      @Nullable Double residual) {
    Vec3 p = r.position();
    return row(
        r.row(),
        r.probe(),
        r.angleDeg(),
        MM * p.x(),
        MM * p.y(),
        MM * p.z(),
        r.time() == null ? null : r.time().toString(),
        r.field(),
        state,
        why,
        corrected,
        residual);
  }

  private static DataTable harmonics(FieldModel model) {
    List<List<@Nullable Object>> rows = new ArrayList<>();
    for (int i = 1; i < Term.count(model.ppm().degree()); i++) {
      Term t = Term.at(i);
      boolean seen = !model.unseen().contains(t);
      rows.add(
          row(
              t.n(),
              t.m(),
              t.part().id(),
              t.tradeName(),
              seen ? (Double) model.ppm().coefficient(i) : null,
              seen ? (Double) model.standardUncertainty(t) : null,
              MM * model.ppm().referenceRadius()));
    }
    return new DataTable(
        List.of(),
        List.of(
            new Field("n", ColumnType.INTEGER, null, "degree"),
            new Field("m", ColumnType.INTEGER, null, "order"),
            new Field("part", ColumnType.STRING, null, "cos or sin"),
            new Field("name", ColumnType.STRING, null, "name in the trade"),
            new Field(
                "value_ppm", ColumnType.NUMBER, "ppm", "Schmidt semi-normalised, at the radius"),
            new Field("uncertainty_ppm", ColumnType.NUMBER, "ppm", "one standard uncertainty"),
            new Field("reference_radius_mm", ColumnType.NUMBER, "mm", "R0")),
        rows);
  }

  private static DataTable verdicts(List<LimitResult> limits) {
    List<List<@Nullable Object>> rows = new ArrayList<>();
    for (LimitResult r : limits) {
      if (r.limit().volume() == null) {
        continue; // a drift, which the log's own table judges
      }
      ConformityRisk risk = ConformityRisk.of(r);
      List<@Nullable Object> row =
          new ArrayList<>(
              row(
                  r.limit().id(),
                  r.limit().measure().id(),
                  r.valuePpm(),
                  r.uncertaintyPpm(),
                  r.limit().limit(),
                  r.verdict().id(),
                  risk == null ? null : (Double) risk.conformity(),
                  risk == null ? null : risk.consumer(),
                  risk == null ? null : risk.producer(),
                  r.extrapolated() ? "yes" : "no"));
      for (int k = 0; k < 2; k++) {
        LimitResult.Extreme e = k < r.extremes().size() ? r.extremes().get(k) : null;
        row.add(e == null ? null : (Double) e.ppm());
        row.add(e == null ? null : (Double) (MM * e.at().x()));
        row.add(e == null ? null : (Double) (MM * e.at().y()));
        row.add(e == null ? null : (Double) (MM * e.at().z()));
      }
      rows.add(row);
    }
    List<Field> fields =
        new ArrayList<>(
            List.of(
                new Field("limit", ColumnType.STRING, null, "id of the limit"),
                new Field("measure", ColumnType.STRING, null, "what is limited"),
                new Field("value_ppm", ColumnType.NUMBER, "ppm", "what was found"),
                new Field("uncertainty_ppm", ColumnType.NUMBER, "ppm", "one standard uncertainty"),
                new Field("limit_ppm", ColumnType.NUMBER, "ppm", "what is allowed"),
                new Field(
                    "verdict", ColumnType.STRING, null, "met, not_met, undecided, not_assessed"),
                new Field(
                    "probability_of_conformity", ColumnType.NUMBER, null, "that the limit is kept"),
                new Field("consumers_risk", ColumnType.NUMBER, null, "specific, where met"),
                new Field("producers_risk", ColumnType.NUMBER, null, "specific, where not met"),
                new Field(
                    "extrapolated", ColumnType.STRING, null, "beyond the radius read: yes or no")));
    for (String which : List.of("maximum", "minimum")) {
      fields.add(new Field(which + "_ppm", ColumnType.NUMBER, "ppm", which + " of the field"));
      for (String axis : List.of("x", "y", "z")) {
        fields.add(new Field(which + "_" + axis + "_mm", ColumnType.NUMBER, "mm", "its place"));
      }
    }
    return new DataTable(List.of(), fields, rows);
  }

  private static DataTable budget(List<LimitResult> limits) {
    List<List<@Nullable Object>> rows = new ArrayList<>();
    for (LimitResult r : limits) {
      UncertaintyBudget budget = r.budget();
      if (budget == null) {
        continue;
      }
      budget.lines().stream()
          .sorted(Comparator.comparing(UncertaintyBudget.Line::source))
          .forEach(
              line ->
                  rows.add(
                      row(
                          r.limit().id(),
                          line.source().name().toLowerCase(Locale.ROOT),
                          line.uncertaintyPpm(),
                          line.source() == budget.dominant() ? "yes" : "no")));
    }
    return new DataTable(
        List.of(),
        List.of(
            new Field("limit", ColumnType.STRING, null, "id of the limit"),
            new Field("source", ColumnType.STRING, null, "source of error"),
            new Field("uncertainty_ppm", ColumnType.NUMBER, "ppm", "what it alone would give"),
            new Field("dominant", ColumnType.STRING, null, "whether it counts most: yes or no")),
        rows);
  }
}
