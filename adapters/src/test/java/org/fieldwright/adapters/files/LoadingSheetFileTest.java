package org.fieldwright.adapters.files;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.Stream;
import org.dhatim.fastexcel.reader.CellType;
import org.dhatim.fastexcel.reader.ReadableWorkbook;
import org.dhatim.fastexcel.reader.Row;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.correction.IronSystem;
import org.fieldwright.core.correction.Loading;
import org.fieldwright.core.correction.Loading.Place;
import org.fieldwright.core.correction.LoadingSteps;
import org.fieldwright.core.correction.PieceType;
import org.fieldwright.core.correction.Pocket;
import org.fieldwright.core.geometry.Vec3;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Four trays of two pockets; the spreadsheet is read back by the library's reader. */
class LoadingSheetFileTest {
  private static final String ODD = "=1+1"; // a name that a spreadsheet would compute

  @TempDir private Path folder;

  private static LoadingSteps steps() {
    List<Pocket> pockets = new ArrayList<>();
    for (int tray = 1; tray <= 4; tray++) {
      for (int number = 1; number <= 2; number++) {
        Vec3 centre = Vec3.cylindrical(0.4, Math.PI / 2 * (tray - 1), 0.2 * number - 0.3);
        pockets.add(new Pocket(tray, number, centre, null));
      }
    }
    // 1000 mm³ of 8 g/cm³: 8 g a piece
    PieceType piece = new PieceType(ODD, null, 1e-6, 2.1, 8000);
    Loading before = new Loading(Map.of(new Place(3, 2, ODD), 4));
    Loading after =
        new Loading(
            Map.of(
                new Place(3, 2, ODD), 1,
                new Place(1, 1, ODD), 5,
                new Place(1, 2, ODD), 2,
                new Place(2, 1, ODD), 7));
    IronSystem iron =
        new IronSystem(
            pockets,
            List.of(piece),
            new IronSystem.Capacity(null, 10),
            null,
            Set.of(),
            before,
            Map.of(),
            null,
            null,
            "service end",
            IronSystem.Stack.CENTRED);
    return new LoadingSteps(before, after, iron);
  }

  @Test
  void theTextSheetSaysWhatToDo() throws IOException {
    Path file = folder.resolve("sheet.csv");
    LoadingSheetFile.write(file, steps(), "service end");
    List<String> lines = Files.readAllLines(file);
    assertThat(lines.get(0)).startsWith("# Load at low or zero field");
    assertThat(lines.get(1)).contains("service end");
    assertThat(lines.subList(4, lines.size()))
        .containsExactly(
            "1,1,0.0,3,1,-100.0,'=1+1,0,add,5,5,40.0,,1,3,2,,",
            "1,1,0.0,3,2,100.0,'=1+1,0,add,2,2,56.0,,1,3,2,,",
            "2,3,180.0,1,2,100.0,'=1+1,4,remove,-3,1,8.0,,2,4,2,,",
            "3,2,90.0,4,1,-100.0,'=1+1,0,add,7,7,56.0,,5,5,2,,");
  }

  @Test
  void theSpreadsheetHoldsNumbersAndNoFormula() throws IOException {
    Path file = folder.resolve("sheet.xlsx");
    LoadingSheetFile.write(file, steps(), null);
    try (InputStream in = Files.newInputStream(file);
        ReadableWorkbook book = new ReadableWorkbook(in);
        Stream<Row> rows = book.getFirstSheet().openStream()) {
      List<Row> all = rows.toList();
      assertThat(all).hasSize(8);
      assertThat(all.get(3).getCellText(6)).isEqualTo("piece");
      Row first = all.get(4);
      assertThat(first.getCell(6).getType()).isEqualTo(CellType.STRING);
      assertThat(first.getCellText(6)).isEqualTo(ODD);
      assertThat(first.getCell(11).getType()).isEqualTo(CellType.NUMBER);
      assertThat(first.getCellAsNumber(11).orElseThrow().doubleValue()).isEqualTo(40);
      assertThat(all)
          .allSatisfy(
              row ->
                  row.forEach(
                      cell ->
                          assertThat(cell == null ? null : cell.getType())
                              .isNotEqualTo(CellType.FORMULA)));
    }
  }

  @Test
  void anotherKindOfFileIsRefused() {
    assertThatThrownBy(() -> LoadingSheetFile.write(folder.resolve("sheet.pdf"), steps(), null))
        .isInstanceOf(BadInput.class)
        .hasMessageContaining(".csv or .xlsx");
    assertThat(folder).isEmptyDirectory();
  }
}
