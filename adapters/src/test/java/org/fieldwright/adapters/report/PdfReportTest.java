package org.fieldwright.adapters.report;

import static org.assertj.core.api.Assertions.assertThat;
import static org.fieldwright.adapters.text.Numerals.FRENCH;
import static org.fieldwright.adapters.text.Numerals.GERMAN;

import java.io.IOException;
import java.time.ZoneId;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.regex.MatchResult;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.cos.COSName;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.pdmodel.PDPage;
import org.apache.pdfbox.pdmodel.font.PDFont;
import org.apache.pdfbox.text.PDFTextStripper;
import org.assertj.core.data.Offset;
import org.fieldwright.adapters.text.Numerals;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.Covariance;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.magnet.Magnet;
import org.fieldwright.core.reading.Nuisances;
import org.fieldwright.core.reading.ProbeArray;
import org.fieldwright.core.reading.Reading;
import org.fieldwright.core.reading.Survey;
import org.fieldwright.core.reading.VettedSurvey;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;

class PdfReportTest {
  private static byte[] pdf;
  private static String text;

  @BeforeAll
  static void render() throws IOException {
    pdf = PdfReport.render(DemoVisit.planned());
    text = textOf(pdf);
  }

  @Test
  void opensWithTheVerdictAndItsEvidence() throws IOException {
    String first = pageText(pdf, 1);
    assertThat(first)
        .contains("Kestrel Ridge recommissioning", "KR-055-07")
        .contains("Not met: the magnet fails 4 of its 4 limits.")
        .contains("sphere, 400 mm across", "ellipsoid, 400 × 400 × 360 mm")
        .contains("cylinder, 300 mm across, 200 mm long")
        .contains("20 ppm", "✗ not met", "not assessed", "page 1 of ")
        .contains("Kestrel Ridge, bay 2", "A. Field", "calibration 2026-03-02, valid", "FR-118");
  }

  @Test
  void namesEveryReadingSetAsideAndEverySuspect() {
    assertThat(text)
        .contains("90 17 45 (117.6, 117.6, −111.1) no lock –")
        .contains("202 9 120 (−89.7, 155.3, 88.5) disagrees with its neighbours 4.14")
        .contains("out of the reader's range −1,812")
        .contains("0.412 ± 0.062 ppm", "1.84 ± 0.22°", "0.083 ± 0.024 ppm/h");
  }

  @Test
  void hasASheetForEveryTrayThatChangesWithCautionAndEnds() {
    assertThat(text).contains("Trays that stay as they are and have no sheet: 7.");
    assertThat(count("Weigh check")).isEqualTo(23);
    assertThat(count("Only at low or zero field or by the maker's written procedure"))
        .isEqualTo(23);
    assertThat(count("+z end: service end")).isEqualTo(23);
    assertThat(text).contains("do not touch", "leave empty", "add 10");
  }

  @Test
  void coilsThatDisturbEachOtherHaveTheirTurns() {
    assertThat(text).contains("set to at its turn, A").contains("1 Z2 0.000 1.254 1.210");
  }

  @Test
  void theRunningMassEndsAtWhatTheScaleShouldShow() {
    Matcher m =
        Pattern.compile("([0-9.]+) ▲ \\+z end: service end Weigh check: iron should be ([0-9.]+) ±")
            .matcher(text);
    int sheets = 0;
    while (m.find()) {
      assertThat(m.group(1)).isEqualTo(m.group(2));
      sheets++;
    }
    assertThat(sheets).isEqualTo(23);
  }

  @Test
  void saysWhatTheNumbersRestOn() {
    assertThat(text)
        .contains("Schmidt", "R0 = 200 mm", "42.57638543 MHz/T")
        .contains("shielded proton (water), CODATA 2022")
        .contains("ab12".repeat(16), "0c9f".repeat(16))
        .contains("Fieldwright 0.1.0", "--degree 12")
        .contains("0.5 mT up to its third edition", "a qualified person decides")
        .contains("measured by", "plan approved by");
  }

  @Test
  void staysWithinAHandfulOfPages() throws IOException {
    try (PDDocument document = Loader.loadPDF(pdf)) {
      assertThat(document.getNumberOfPages()).isBetween(8, 16);
      for (PDPage page : document.getPages()) {
        assertThat(page.getMediaBox().getWidth()).isCloseTo(595.28f, within(0.1f)); // A4, ISO 216
        assertThat(page.getMediaBox().getHeight()).isCloseTo(841.89f, within(0.1f));
      }
      assertThat(document.getDocumentCatalog().getDocumentOutline().hasChildren()).isTrue();
    }
  }

  @Test
  void noPageIsNearlyEmpty() throws IOException {
    try (PDDocument document = Loader.loadPDF(pdf)) {
      for (int i = 1; i <= document.getNumberOfPages(); i++) {
        assertThat(pageText(pdf, i).length()).as("characters on page %d", i).isGreaterThan(250);
      }
    }
  }

  @Test
  void everyGlyphIsThereAndEveryFontTravelsInside() throws IOException {
    assertThat(text).doesNotContain("#", "\uFFFD");
    try (PDDocument document = Loader.loadPDF(pdf)) {
      for (PDPage page : document.getPages()) {
        for (COSName name : page.getResources().getFontNames()) {
          PDFont font = page.getResources().getFont(name);
          assertThat(font.isEmbedded()).as(font.getName()).isTrue();
          assertThat(font.getName()).contains("DejaVu");
        }
      }
    }
  }

  @Test
  void theSameReportIsTheSameBytes() {
    assertThat(PdfReport.render(DemoVisit.planned())).isEqualTo(pdf);
  }

  @Test
  void theNumberFollowsTheInputs() {
    VisitReport r = DemoVisit.planned();
    VisitReport.Provenance p = r.provenance();
    VisitReport other =
        new VisitReport(
            r.magnet(),
            r.found(),
            r.rounds(),
            r.logs(),
            r.judged(),
            r.title(),
            r.priors(),
            new VisitReport.Provenance(
                List.of(new VisitReport.InputFile("survey", "visit-1.csv", "0c9e".repeat(16))),
                p.program(),
                p.options(),
                p.generated(),
                p.zone(),
                p.numerals()));
    assertThat(PdfReport.number(other.provenance())).isNotEqualTo(PdfReport.number(p));
    assertThat(PdfReport.number(p)).matches("[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}");
  }

  /** Two rounds, a field log, a stated prior: each has its place. */
  @Test
  void tellsRoundsStabilityAndRisks() throws IOException {
    String all = textOf(PdfReport.render(DemoVisit.loaded()));
    assertThat(all)
        .contains("round 1, predicted", "round 1, found", "round 2, found")
        .contains("Loading sheets, round 1", "Loading sheets, round 2")
        .contains("thin 0.9700 0.9810 ± 0.0080 0.9516")
        .contains("Stability: log-1.csv", "1 × step", "Overlapping Allan deviation", "Forecast")
        .contains("Uncertainty and decision", "counts most. Half of it would leave")
        .contains("Over all magnets like this one", "14 ± 3 ppm");
  }

  /** Names from files are text, whatever they hold. */
  @Test
  void printsHostileNamesAsNames() throws IOException {
    String name = "</title><script>alert(1)</script> & \"x\" 磁 \u202Egpj " + "w".repeat(300);
    String printed = textOf(PdfReport.render(bare(name))).replaceAll("\\s+", "");
    assertThat(printed)
        .contains("</title><script>alert(1)</script>&\"x\"{U+78C1}{U+202E}gpj")
        .contains("No verdict:".replace(" ", ""))
        .doesNotContain("#");
  }

  /**
   * No decimal point is left but in names, versions and numbers of clauses; files stay as named.
   */
  @Test
  void writesEveryNumberAsAsked() throws IOException {
    String french = textOf(PdfReport.render(DemoVisit.written(DemoVisit.loaded(), FRENCH)));
    assertThat(french)
        .contains("42,57638543 MHz/T", "written as in French: 1\u202f234,56", "log-1.csv")
        .contains("Fieldwright 0.1.0", "0,5 mT up to its third edition");
    Matcher point = Pattern.compile("\\S*\\d\\.\\d\\S*").matcher(french);
    assertThat(point.results().map(MatchResult::group).distinct())
        .containsExactlyInAnyOrder("0.1.0", "0.1.0.", "8.3.2", "8.3.3).", "9.3.", "9.5,", "5.1).");
    String german = textOf(PdfReport.render(DemoVisit.written(DemoVisit.loaded(), GERMAN)));
    assertThat(german).contains("written as in German: 1.234,56", "(117,6; 117,6; −111,1)");
  }

  /** The least a report can be made of: free points, no limits, no iron, nothing stated. */
  private static VisitReport bare(String name) {
    Magnet magnet =
        new Magnet(
            name,
            null,
            0.55,
            Vec3.UNIT_Z,
            new ProbeArray(
                name,
                DemoVisit.GAMMA,
                name,
                null,
                List.of(),
                null,
                null,
                null,
                ProbeArray.Uncertainty.UNSTATED,
                null,
                Nuisances.NONE),
            List.of(),
            null,
            List.of());
    Reading reading =
        new Reading(2, null, null, new Vec3(0.1, 0, 0), 0.55, null, null, null, null, null);
    VettedSurvey survey =
        new VettedSurvey(
            new Survey(
                name, Survey.Kind.FREE_POINTS, List.of(reading), false, Map.of(), List.of(name)),
            List.of(new VettedSurvey.Used(reading, 0.55, 0)),
            List.of(),
            List.of(),
            List.of(),
            List.of(),
            List.of(),
            List.of(),
            null,
            List.of(name));
    FieldModel model =
        new FieldModel(
            DemoVisit.field(1, 10, 9),
            0.55,
            Set.of(),
            Covariance.zero(4),
            List.of(),
            1,
            0,
            0,
            0.2,
            name);
    return new VisitReport(
        magnet,
        new VisitReport.Surveyed(survey, model, 0, List.of()),
        List.of(),
        List.of(),
        List.of(),
        new VisitReport.Title(null, null, null, null),
        Map.of(),
        new VisitReport.Provenance(
            List.of(new VisitReport.InputFile("survey", name, "00".repeat(32))),
            "Fieldwright 0.1.0",
            List.of(),
            DemoVisit.START,
            ZoneId.of("Asia/Kathmandu"),
            Numerals.ENGLISH));
  }

  private static Offset<Float> within(float f) {
    return Offset.offset(f);
  }

  private static int count(String part) {
    return text.split(Pattern.quote(part), -1).length - 1;
  }

  private static String textOf(byte[] pdf) throws IOException {
    try (PDDocument document = Loader.loadPDF(pdf)) {
      return new PDFTextStripper().getText(document).replaceAll("\\s+", " ");
    }
  }

  private static String pageText(byte[] pdf, int page) throws IOException {
    try (PDDocument document = Loader.loadPDF(pdf)) {
      PDFTextStripper stripper = new PDFTextStripper();
      stripper.setStartPage(page);
      stripper.setEndPage(page);
      return stripper.getText(document).replaceAll("\\s+", " ");
    }
  }
}
