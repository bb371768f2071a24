package org.fieldwright.adapters.files;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.dhatim.fastexcel.Workbook;
import org.dhatim.fastexcel.Worksheet;
import org.fieldwright.adapters.AtomicFile;
import org.fieldwright.adapters.files.table.DataTable;
import org.fieldwright.adapters.files.table.DataTable.ColumnType;
import org.fieldwright.adapters.files.table.DataTable.Field;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.correction.LoadingSteps;
import org.fieldwright.core.correction.Pocket;
import org.jspecify.annotations.Nullable;

/**
 * The loading sheet as a table for the bench, {@code .csv} or {@code .xlsx}: one row for each kind
 * of piece in each pocket of every touched tray, in the order in which the trays go in. No
 * formulas: text is written as text.
 */
public final class LoadingSheetFile {
  private static final String NAME = "Fieldwright";
  private static final String SHEET = "loading sheet";
  private static final double GRAMS = 1e3;

  /** On every sheet, whatever becomes of the report it came with. */
  private static final String CAUTION =
      "Load at low or zero field or by the maker's written procedure: iron is pulled and turned,"
          + " pieces fly, hands are crushed. Local rules and qualified persons decide.";

  private static final List<Field> FIELDS =
      List.of(
          new Field("insertion", ColumnType.INTEGER, null, "turn in which the tray goes in"),
          new Field("tray", ColumnType.INTEGER, null, "number of the tray"),
          new Field("azimuth_deg", ColumnType.NUMBER, "deg", "where the tray lies"),
          new Field("opposite_tray", ColumnType.INTEGER, null, "tray across the bore"),
          new Field("pocket", ColumnType.INTEGER, null, "number of the pocket in its tray"),
          new Field(
              "z_mm", ColumnType.NUMBER, "mm", "from the isocentre, positive towards the +z end"),
          new Field("piece", ColumnType.STRING, null, "kind of piece"),
          new Field("from", ColumnType.INTEGER, null, "pieces that lie there before"),
          new Field("do", ColumnType.STRING, null, "add, remove, keep or do not touch"),
          new Field("change", ColumnType.INTEGER, null, "pieces to put in, negative to take out"),
          new Field("to", ColumnType.INTEGER, null, "pieces that lie there after"),
          new Field("tray_iron_g", ColumnType.NUMBER, "g", "iron in the tray once the row is done"),
          new Field(
              "tray_iron_tolerance_g", ColumnType.NUMBER, "g", "two standard deviations of it"),
          new Field(
              "half_way_push",
              ColumnType.INTEGER,
              null,
              "when the tray is pushed half way in, counted over all trays"),
          new Field("home_push", ColumnType.INTEGER, null, "when it is pushed home"),
          new Field("plus_z_pocket", ColumnType.INTEGER, null, "pocket that ends up at the +z end"),
          new Field("weighed_g", ColumnType.NUMBER, "g", "filled in by hand"),
          new Field("done", ColumnType.STRING, null, "filled in by hand"));

  private LoadingSheetFile() {}

  /**
   * Writes the sheet, whole or not at all.
   *
   * @param plusZEnd what people call the +z end; null if not stated
   */
  public static void write(Path path, LoadingSteps steps, @Nullable String plusZEnd) {
    String name = String.valueOf(path.getFileName()).toLowerCase(Locale.ROOT);
    DataTable table = table(steps, plusZEnd);
    byte[] bytes;
    if (name.endsWith(".csv")) {
      bytes = table.csv().getBytes(StandardCharsets.UTF_8);
    } else if (name.endsWith(".xlsx")) {
      bytes = xlsx(table);
    } else {
      throw new BadInput(
          "--sheet: found '%s'; a loading sheet is written to a .csv or .xlsx file"
              .formatted(path));
    }
    try {
      AtomicFile.write(path, bytes);
    } catch (IOException e) {
      throw new BadInput(path + ": cannot be written (" + e.getMessage() + ")", e);
    }
  }

  /** The sheet as a table; cells that are filled in by hand are empty. */
  public static DataTable table(LoadingSteps steps, @Nullable String plusZEnd) {
    List<String> remarks =
        List.of(
            CAUTION,
            "+z end: "
                + (plusZEnd == null ? "as the magnet file has it" : plusZEnd)
                + "; z_mm is from the isocentre, positive towards that end; the pocket plus_z_pocket ends up"
                + " there, so a tray put in from that end goes in with its other end first",
            "tray_iron_g: iron in the tray once the row is done; half_way_push, home_push: when the tray is"
                + " pushed half way in and when home, counted over all trays");
    return new DataTable(remarks, FIELDS, rows(steps));
  }

  /** Numbers and texts; null for cells that are filled in by hand. */
  private static List<List<@Nullable Object>> rows(LoadingSteps steps) {
    List<List<@Nullable Object>> rows = new ArrayList<>();
    int insertion = 0;
    for (LoadingSteps.Insertion pushes : steps.insertions()) {
      insertion++;
      int tray = pushes.tray();
      double mass = steps.trayMassBefore(tray);
      Double tolerance = steps.trayTolerance(tray);
      for (Pocket pocket : steps.pockets(tray)) {
        for (LoadingSteps.Step step : steps.of(pocket)) {
          mass += step.change() * step.piece().mass();
          List<@Nullable Object> row = new ArrayList<>();
          row.add(insertion);
          row.add(tray);
          row.add(rounded(steps.azimuthDeg(tray), 1e3));
          row.add(steps.opposite(tray));
          row.add(pocket.number());
          row.add(rounded(GRAMS * pocket.centre().z(), 1e3));
          row.add(step.piece().id());
          row.add(step.from());
          row.add(action(steps, pocket, step.change()));
          row.add(step.change());
          row.add(step.to());
          row.add(rounded(GRAMS * mass, 1e2));
          row.add(tolerance == null ? null : (Double) rounded(GRAMS * tolerance, 1e2));
          row.add(pushes.halfWay());
          row.add(pushes.home());
          row.add(steps.pocketAtPlusZ(tray));
          row.add(null);
          row.add(null);
          rows.add(row);
        }
      }
    }
    return rows;
  }

  private static double rounded(double value, double per) {
    return Math.rint(value * per) / per + 0.0;
  }

  private static String action(LoadingSteps steps, Pocket pocket, int change) {
    if (change != 0) {
      return change > 0 ? "add" : "remove";
    }
    return steps.barred(pocket) ? "do not touch" : "keep";
  }

  private static byte[] xlsx(DataTable table) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    try (Workbook book = new Workbook(out, NAME, "1.0")) {
      Worksheet sheet = book.newWorksheet(SHEET);
      int r = 0;
      for (String remark : table.remarks()) {
        sheet.value(r++, 0, remark);
      }
      for (int c = 0; c < FIELDS.size(); c++) {
        sheet.value(r, c, FIELDS.get(c).name());
        sheet.style(r, c).bold().set();
      }
      sheet.freezePane(0, ++r);
      for (List<@Nullable Object> row : table.rows()) {
        for (int c = 0; c < row.size(); c++) {
          if (row.get(c) instanceof Number n) {
            sheet.value(r, c, n);
          } else if (row.get(c) instanceof String s) {
            sheet.value(r, c, s); // a string cell is never computed
          }
        }
        r++;
      }
    } catch (IOException e) {
      throw new IllegalStateException("writing to memory failed", e);
    }
    return out.toByteArray();
  }
}
