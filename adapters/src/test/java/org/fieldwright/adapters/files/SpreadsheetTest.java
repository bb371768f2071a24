package org.fieldwright.adapters.files;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Map;
import java.util.TreeMap;
import java.util.zip.ZipEntry;
import java.util.zip.ZipOutputStream;
import org.dhatim.fastexcel.Workbook;
import org.dhatim.fastexcel.Worksheet;
import org.fieldwright.adapters.files.table.Rows;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.magnet.Magnet;
import org.fieldwright.core.reading.Reading;
import org.fieldwright.core.reading.Survey;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Surveys in the first sheet of a workbook (Office Open XML, ECMA-376 part 1, §18). */
class SpreadsheetTest {
  private static final double GAMMA = 42.57638543; // CODATA 2022, MHz/T

  @TempDir Path folder;
  private Magnet magnet;
  private Path path;

  @BeforeEach
  void describeMagnet() throws IOException {
    Path yaml = folder.resolve("m.yaml");
    Files.writeString(
        yaml, "magnet: {field_T: 1}\narray: {radius_mm: 100, probes: [{id: 1, polar_deg: 0}]}\n");
    magnet = MagnetFile.read(yaml);
    path = folder.resolve("a.xlsx");
  }

  /** A workbook whose first sheet has these rows, as XML, and whose other parts may be replaced. */
  private void workbook(String rows, Map<String, String> others) throws IOException {
    String main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main";
    String rel = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
    Map<String, String> parts = new TreeMap<>();
    parts.put(
        "xl/workbook.xml",
        "<workbook xmlns='%s' xmlns:r='%s'><sheets><sheet name='a' sheetId='1' r:id='rId1'/></sheets></workbook>"
            .formatted(main, rel));
    parts.put(
        "xl/_rels/workbook.xml.rels",
        ("<Relationships xmlns='http://schemas.openxmlformats.org/package/2006/relationships'>"
                + "<Relationship Id='rId1' Type='%s/worksheet' Target='worksheets/sheet1.xml'/>"
                + "</Relationships>")
            .formatted(rel));
    parts.put(
        "xl/worksheets/sheet1.xml",
        "<worksheet xmlns='%s'><sheetData>%s</sheetData></worksheet>".formatted(main, rows));
    parts.put(
        "[Content_Types].xml",
        "<Types xmlns='http://schemas.openxmlformats.org/package/2006/content-types'/>");
    parts.putAll(others);
    try (ZipOutputStream zip = new ZipOutputStream(Files.newOutputStream(path))) {
      for (Map.Entry<String, String> part : parts.entrySet()) {
        zip.putNextEntry(new ZipEntry(part.getKey()));
        zip.write(part.getValue().getBytes(StandardCharsets.UTF_8));
        zip.closeEntry();
      }
    }
  }

  private static String text(String at, String s) {
    return "<c r='%s' t='inlineStr'><is><t>%s</t></is></c>".formatted(at, s);
  }

  private static final String HEADER =
      "<row r='1'>"
          + text("A1", "angle_deg")
          + text("B1", "probe")
          + text("C1", "frequency_MHz")
          + text("D1", "time")
          + "</row>";

  @Test
  void firstSheetWithCommentsGapsAndMissingValues() throws IOException {
    try (OutputStream out = Files.newOutputStream(path);
        Workbook book = new Workbook(out, "test", "1.0")) {
      Worksheet sheet = book.newWorksheet("readings");
      sheet.value(0, 0, "# room: 22 °C");
      String[] names = {"angle_deg", "probe", "frequency_MHz", "time", "note"};
      for (int i = 0; i < names.length; i++) {
        sheet.value(2, i, names[i]);
      }
      sheet.value(3, 0, 15);
      sheet.value(3, 1, 1);
      sheet.value(3, 2, 42.5);
      sheet.value(3, 3, "2026-03-02T10:00:00Z");
      sheet.value(3, 4, "second, \"coil\"");
      sheet.value(5, 0, 30.5);
      sheet.value(5, 1, 1);
      book.newWorksheet("other").value(0, 0, "nothing");
    }
    Survey s = SurveyFile.read(path, magnet);
    assertThat(s.remarks()).containsEntry("room", "22 °C");
    assertThat(s.readings()).extracting(Reading::row).containsExactly(4, 6);
    assertThat(s.readings().get(0).field()).isCloseTo(42.5 / GAMMA, within(1e-15));
    assertThat(s.readings().get(1).angleDeg()).isEqualTo(30.5);
    assertThat(s.readings().get(1).field()).isNull();
  }

  @Test
  void ofAFormulaTheStoredValueCounts() throws IOException {
    String row =
        "<row r='2'><c r='A2'><f>2*15</f><v>30</v></c><c r='B2'><v>1</v></c>"
            + "<c r='C2'><f>42+0.5</f><v>42.5</v></c></row>";
    workbook(HEADER + row, Map.of());
    Reading r = SurveyFile.read(path, magnet).readings().get(0);
    assertThat(r.angleDeg()).isEqualTo(30);
    assertThat(r.field()).isCloseTo(42.5 / GAMMA, within(1e-15));
  }

  @Test
  void dateCellsCarryNoOffset() throws IOException {
    workbook(
        HEADER
            + "<row r='2'><c r='A2'><v>30</v></c><c r='B2'><v>1</v></c><c r='C2'><v>42.5</v></c>"
            + "<c r='D2' s='1'><v>46083.4167</v></c></row>",
        Map.of());
    assertThatThrownBy(() -> SurveyFile.read(path, magnet))
        .isInstanceOf(BadInput.class)
        .hasMessageStartingWith(path + ":2: time: found '46083.4167', expected an ISO 8601 time")
        .hasMessageEndingWith("written as text (a date cell has no offset)");
  }

  @Test
  void errorCellsAreRefused() throws IOException {
    workbook(
        HEADER
            + "<row r='2'><c r='A2'><v>30</v></c><c r='B2'><v>1</v></c>"
            + "<c r='C2' t='e'><f>1/0</f><v>#DIV/0!</v></c></row>",
        Map.of());
    assertThatThrownBy(() -> SurveyFile.read(path, magnet))
        .isInstanceOf(BadInput.class)
        .hasMessageContaining(":2: frequency_MHz: found '#DIV/0!', expected a finite number");
  }

  @Test
  void zipBombIsStoppedWhileUnpacking() throws IOException {
    try (ZipOutputStream zip = new ZipOutputStream(Files.newOutputStream(path))) {
      zip.putNextEntry(new ZipEntry("xl/workbook.xml"));
      byte[] blanks = new byte[1 << 20];
      Arrays.fill(blanks, (byte) ' ');
      for (int i = 0; i < 9; i++) {
        zip.write(blanks);
      }
    }
    assertThat(Files.size(path)).isLessThan(1 << 16);
    assertThatThrownBy(() -> Rows.open(path, 8 << 20))
        .isInstanceOf(BadInput.class)
        .hasMessageContaining("unpacks to more than the bound");
  }

  @Test
  void entitiesAreRefused() throws IOException {
    workbook(
        HEADER,
        Map.of("xl/sharedStrings.xml", "<!DOCTYPE sst [<!ENTITY a 'aaaa'>]><sst>&a;</sst>"));
    assertThatThrownBy(() -> SurveyFile.read(path, magnet))
        .isInstanceOf(BadInput.class)
        .hasMessageContaining("document type declaration");
  }

  @Test
  void otherArchivesAndBrokenOnesAreRefused() throws IOException {
    try (ZipOutputStream zip = new ZipOutputStream(Files.newOutputStream(path))) {
      zip.putNextEntry(new ZipEntry("content.xml"));
      zip.write(1);
    }
    assertThatThrownBy(() -> SurveyFile.read(path, magnet))
        .isInstanceOf(BadInput.class)
        .hasMessageContaining("a zip archive that is no .xlsx workbook");
    workbook(HEADER, Map.of());
    byte[] whole = Files.readAllBytes(path);
    Files.write(path, Arrays.copyOf(whole, whole.length / 2));
    assertThatThrownBy(() -> SurveyFile.read(path, magnet))
        .isInstanceOf(BadInput.class)
        .hasMessageContaining("cannot be read as an .xlsx workbook");
    workbook("<row r='1'><c r='A1'><v>", Map.of());
    assertThatThrownBy(() -> SurveyFile.read(path, magnet)).isInstanceOf(BadInput.class);
  }
}
