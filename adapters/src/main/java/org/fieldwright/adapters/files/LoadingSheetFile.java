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
import org.fieldwright.adapters.text.SafeCell;
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

  private static final List<String> HEADER =
      List.of(
          "insertion",
          "tray",
          "azimuth_deg",
          "opposite_tray",
          "pocket",
          "z_mm",
          "piece",
          "from",
          "do",
          "change",
          "to",
          "tray_iron_g",
          "tray_iron_tolerance_g",
          "half_way_push",
          "home_push",
          "plus_z_pocket",
          "weighed_g",
          "done");

  private LoadingSheetFile() {}

  /**
   * Writes the sheet, whole or not at all.
   *
   * @param plusZEnd what people call the +z end; null if not stated
   */
  public static void write(Path path, LoadingSteps steps, @Nullable String plusZEnd) {
    String name = String.valueOf(path.getFileName()).toLowerCase(Locale.ROOT);
    List<String> remarks =
        List.of(
            CAUTION,
            "+z end: "
                + (plusZEnd == null ? "as the magnet file has it" : plusZEnd)
                + "; z_mm is from the isocentre, positive towards that end; the pocket plus_z_pocket ends up"
                + " there, so a tray put in from that end goes in with its other end first",
            "tray_iron_g: iron in the tray once the row is done; half_way_push, home_push: when the tray is"
                + " pushed half way in and when home, counted over all trays");
    byte[] bytes;
    if (name.endsWith(".csv")) {
      bytes = csv(remarks, rows(steps)).getBytes(StandardCharsets.UTF_8);
    } else if (name.endsWith(".xlsx")) {
      bytes = xlsx(remarks, rows(steps));
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

  private static String csv(List<String> remarks, List<List<@Nullable Object>> rows) {
    StringBuilder out = new StringBuilder();
    remarks.forEach(r -> out.append("# ").append(r).append('\n'));
    out.append(String.join(",", HEADER)).append('\n');
    for (List<@Nullable Object> row : rows) {
      List<String> cells = new ArrayList<>();
      for (Object cell : row) {
        cells.add(cell == null ? "" : cell instanceof String s ? SafeCell.of(s) : cell.toString());
      }
      out.append(String.join(",", cells)).append('\n');
    }
    return out.toString();
  }

  private static byte[] xlsx(List<String> remarks, List<List<@Nullable Object>> rows) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    try (Workbook book = new Workbook(out, NAME, "1.0")) {
      Worksheet sheet = book.newWorksheet(SHEET);
      int r = 0;
      for (String remark : remarks) {
        sheet.value(r++, 0, remark);
      }
      for (int c = 0; c < HEADER.size(); c++) {
        sheet.value(r, c, HEADER.get(c));
        sheet.style(r, c).bold().set();
      }
      sheet.freezePane(0, ++r);
      for (List<@Nullable Object> row : rows) {
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
