package org.fieldwright.app.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Locale;
import java.util.stream.Stream;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.text.PDFTextStripper;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.Expansion;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class ReportCommandTest {
  private static final String MAGNET =
      """
      fieldwright: 1
      magnet: {name: Kestrel Ridge, serial: KR-055-07, field_T: 0.55}
      array:
        sample: water
        radius_mm: 200
        probes: {kind: gauss_legendre, count: 8}
        uncertainty: {reading_ppm: 0.02}
      limits:
        - {id: imaging, shape: sphere, diameter_mm: 400, measure: peak_to_peak, limit_ppm: 30}
      """;

  private final ByteArrayOutputStream out = new ByteArrayOutputStream();
  private final ByteArrayOutputStream err = new ByteArrayOutputStream();
  @TempDir private Path folder;
  private Path magnet;
  private Path survey;

  /** A pure gradient along z: 20 ppm at R0, so 40 ppm between the poles of the sphere. */
  @BeforeEach
  void files() throws IOException {
    magnet = Files.writeString(folder.resolve("m.yaml"), MAGNET);
    survey = Files.writeString(folder.resolve("s.csv"), readings(20));
  }

  private static String readings(double gradientPpm) {
    Expansion ppm = new Expansion(0.2, new double[] {0, gradientPpm, 0, 0});
    double[] nodes = {
      0.9602898564975363,
      0.7966664774136267,
      0.5255324099163290,
      0.1834346424956498,
      -0.1834346424956498,
      -0.5255324099163290,
      -0.7966664774136267,
      -0.9602898564975363
    }; // Abramowitz & Stegun, table 25.4, n = 8
    StringBuilder csv = new StringBuilder("angle_deg,probe,field_T\n");
    for (int angle = 0; angle < 360; angle += 30) {
      for (int p = 0; p < nodes.length; p++) {
        Vec3 at = Vec3.spherical(0.2, Math.acos(nodes[p]), Math.toRadians(angle));
        double ripple = 0.01 * Math.sin(angle + 7.0 * p); // so that residuals are not all zero
        double field = 0.55 * (1 + 1e-6 * (ppm.at(at) + ripple));
        csv.append(String.format(Locale.ROOT, "%d,%d,%.12f%n", angle, p + 1, field));
      }
    }
    return csv.toString();
  }

  private int run(String... args) {
    return Main.run(new Output(out, err), args);
  }

  private String pdfText(Path pdf) throws IOException {
    try (PDDocument document = Loader.loadPDF(Files.readAllBytes(pdf))) {
      return new PDFTextStripper().getText(document).replaceAll("\\s+", " ");
    }
  }

  @Test
  void printsTheVerdictOfTheSurvey() throws IOException {
    Path pdf = folder.resolve("r.pdf");
    int status = run("report", survey.toString(), "--magnet", magnet.toString(), "--out", "" + pdf);
    assertThat(err.toString(StandardCharsets.UTF_8)).isEmpty();
    assertThat(status).isEqualTo(ExitStatus.DONE);
    assertThat(out.toString(StandardCharsets.UTF_8)).contains(pdf.toString());
    assertThat(pdfText(pdf))
        .contains("Not met: the magnet does not meet its limit.")
        .containsPattern("(39\\.9|40\\.0)\\d* ± 0\\.\\d+ ppm peak-to-peak where 30 ppm is allowed");
  }

  @Test
  void judgesTheSecondSurveyWhereThereIsOne() throws IOException {
    Path after = Files.writeString(folder.resolve("s2.csv"), readings(5));
    Path pdf = folder.resolve("r.pdf");
    run("report", "" + survey, "--magnet", "" + magnet, "--after", "" + after, "--out", "" + pdf);
    assertThat(pdfText(pdf))
        .contains("Met: the magnet meets its limit.")
        .contains("Data: the survey after round 1", "survey after round 1 s2.csv");
  }

  /**
   * The point dipole of one thick piece is far too weak to mend 40 ppm: what counts is the sheet.
   */
  @Test
  void printsTheSheetsOfALoadingFile() throws IOException {
    Files.writeString(folder.resolve("pull.csv"), "z_mm,gradient_T_per_m\n-2000,-2\n2000,-2\n");
    Files.writeString(
        magnet,
        MAGNET
            + """
            iron:
              pockets: {trays: 4, first_tray_deg: 45, radius_mm: 370, z_mm: [-400, 400]}
              pieces: [{id: thick, size_mm: [40, 50, 1], polarisation_T: 2.1, density_g_cm3: 7.85}]
              capacity_mm: 12
              gradient: pull.csv
            """);
    Path loading =
        Files.writeString(
            folder.resolve("plan.csv"), "tray,pocket,piece,count,from,to\n2,1,thick,5,0,5\n");
    Path pdf = folder.resolve("r.pdf");
    String[] args = {
      "report", "" + survey, "--magnet", "" + magnet, "--loading", "" + loading, "--out", "" + pdf
    };
    int status = run(args);
    assertThat(err.toString(StandardCharsets.UTF_8)).isEmpty();
    assertThat(status).isEqualTo(ExitStatus.DONE);
    assertThat(pdfText(pdf))
        .contains("by this plan: pieces in: 5 (79 g), pieces out: 0, pockets touched: 1.")
        .contains(
            "Tray 2 at azimuth 135°",
            "add 5",
            "iron should be 78.5 g",
            // F = (J V/μ0)·d|B|/dz: 2.1 T · 5 · 2e-6 m³ / 1.25664e-6 · −2 T/m = −33.4 N
            "As it goes in it is pulled with −33 N where it belongs and with at most −33 N on the way",
            "loaded in round 1 plan.csv")
        .doesNotContain("Tray 3 at azimuth");

    Files.writeString(loading, "tray,pocket,piece,count\n2,1,thick,-1\n");
    assertThat(run(args)).isEqualTo(ExitStatus.BAD_INPUT);
    assertThat(err.toString(StandardCharsets.UTF_8))
        .contains(
            "plan.csv", "found 1 of piece thick to take out of tray 2, pocket 1, where 0 lie");
  }

  @Test
  void neverReplacesAFileThatIsNoReport() throws IOException {
    String before = Files.readString(survey);
    int status = run("report", "" + survey, "--magnet", "" + magnet, "--out", survey.toString());
    assertThat(status).isEqualTo(ExitStatus.BAD_INPUT);
    assertThat(err.toString(StandardCharsets.UTF_8)).contains("--out", "s.csv", ".pdf");
    assertThat(Files.readString(survey)).isEqualTo(before);
  }

  @Test
  void leavesNothingBehindWhenTheSurveyIsBad() throws IOException {
    Files.writeString(survey, "angle_deg,probe,field_T\n0,1,much\n");
    int status =
        run("report", "" + survey, "--magnet", "" + magnet, "--out", "" + folder.resolve("r.pdf"));
    assertThat(status).isEqualTo(ExitStatus.BAD_INPUT);
    assertThat(out.size()).isZero();
    try (Stream<Path> files = Files.list(folder)) {
      assertThat(files).containsExactlyInAnyOrder(magnet, survey);
    }
  }

  @Test
  void saysWhenTheFolderIsMissing() {
    Path pdf = folder.resolve("nowhere").resolve("r.pdf");
    int status = run("report", "" + survey, "--magnet", "" + magnet, "--out", "" + pdf);
    assertThat(status).isEqualTo(ExitStatus.BAD_INPUT);
    assertThat(err.toString(StandardCharsets.UTF_8)).contains("folder does not exist");
  }
}
