package org.fieldwright.app.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.networknt.schema.InputFormat;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.SpecificationVersion;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.text.PDFTextStripper;
import org.fieldwright.core.geometry.GaussLegendre;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A folder with the example's survey in four years: the field decays, and once Z changes. */
class LifeCommandTest {
  private static final double DECAY = -1.5; // ppm a year
  private static final double Z = 0.8; // ppm, from 2028 on

  @TempDir private Path folder;
  private Path magnet;

  @BeforeEach
  void fourYears() throws IOException {
    String text = Files.readString(CommandLineCall.EXAMPLES.resolve("magnet.yaml"));
    magnet =
        Files.writeString(
            folder.resolve("magnet.yaml"),
            text.replaceFirst(
                "(?m)^iron:\\s*$",
                "iron:\n  installed: installed.csv\n  errors: {piece_mass_percent: 1, lot_mass_percent: 0.5, position_mm: 0.3, strength_percent: 1}"));
    Files.writeString(folder.resolve("installed.csv"), "tray,pocket,piece,count\n");
    for (int year = 2026; year <= 2029; year++) {
      survey(year, 0);
    }
    Files.writeString(
        folder.resolve("events.csv"), "date,kind,note\n2028-03-01,moved,to the cellar\n");
  }

  /** The paper says what the table says, in the numbers asked for. */
  @Test
  void theYearlySummaryIsPrinted() throws IOException {
    Path pdf = folder.resolve("years.pdf");
    CommandLineCall call =
        CommandLineCall.run("life", "--magnet", magnet, "--years", pdf, "--numbers", "de");
    assertThat(call.status()).as(call.notes()).isEqualTo(ExitStatus.DONE);
    try (PDDocument document = Loader.loadPDF(pdf.toFile())) {
      assertThat(document.getNumberOfPages()).isBetween(1, 2);
      assertThat(new PDFTextStripper().getText(document).replaceAll("\\s+", " "))
          .contains("Yearly summary", "2026 to 2029", "page 1 of")
          .contains("2027 0,55011917 23,422086")
          .contains("2028 Written down on 2028-03-01: moved (to the cellar).")
          .contains("2028 Change found by survey-2028.csv against survey-2027.csv.");
    }
  }

  /** Times are those of the example, so that a year has 365.2425 days on average. */
  private void survey(int year, double everywherePpm) throws IOException {
    GaussLegendre planes = GaussLegendre.of(12);
    boolean fromAbove = planes.node(0) > 0; // probe 1 is nearest +z
    StringBuilder out = new StringBuilder("angle_deg,probe,frequency_MHz,time\n");
    for (String line : Files.readAllLines(CommandLineCall.EXAMPLES.resolve("survey.csv"))) {
      String[] cells = line.split(",", -1);
      if (cells.length == 4 && !cells[0].startsWith("angle") && !cells[2].isEmpty()) {
        int probe = Integer.parseInt(cells[1]);
        double z = planes.node(fromAbove ? probe - 1 : 12 - probe);
        double ppm = DECAY * (year - 2026) + everywherePpm + (year >= 2028 ? Z * z : 0);
        out.append(
            String.format(
                Locale.ROOT,
                "%s,%d,%.8f,%s%n",
                cells[0],
                probe,
                Double.parseDouble(cells[2]) * (1 + 1e-6 * ppm),
                cells[3].replace("2026-", year + "-")));
      }
    }
    Files.writeString(folder.resolve("survey-" + year + ".csv"), out);
  }

  private JsonNode answer() throws IOException {
    CommandLineCall call = CommandLineCall.run("life", "--magnet", magnet, "--json");
    assertThat(call.status()).as(call.notes()).isEqualTo(ExitStatus.DONE);
    String schema = Files.readString(Path.of("..", "docs", "schemas", "life.schema.json"));
    assertThat(
            SchemaRegistry.withDefaultDialect(SpecificationVersion.DRAFT_2020_12)
                .getSchema(schema)
                .validate(call.answer(), InputFormat.JSON))
        .isEmpty();
    return new ObjectMapper().readTree(call.answer());
  }

  @Test
  void theChangeIsFoundWhereItWasMadeAndTheDecayBesideIt() throws IOException {
    JsonNode life = answer();
    assertThat(life.path("surveys").findValuesAsText("changed"))
        .containsSubsequence("false", "true", "false");
    JsonNode moved = life.path("surveys").get(2).path("judgement");
    assertThat(moved.path("changed").asBoolean()).isTrue();
    assertThat(moved.path("events").get(0).path("kind").asText()).isEqualTo("moved");
    JsonNode first = moved.path("shape").path("outstanding").get(0);
    assertThat(first.path("name").asText()).isEqualTo("Z");
    assertThat(first.path("difference_ppm").asDouble()).isCloseTo(Z, within(0.01));
    JsonNode decay = life.path("decays").get(0);
    assertThat(decay.path("ppm_per_year").asDouble()).isCloseTo(DECAY, within(0.005));
    // 1 ppm of 23.42 MHz is 23.42 Hz
    assertThat(decay.path("Hz_per_year").asDouble() / decay.path("ppm_per_year").asDouble())
        .isCloseTo(life.path("reference").path("frequency_MHz").asDouble(), within(1e-9));
    assertThat(life.path("years").findValuesAsText("year"))
        .containsExactly("2026", "2027", "2028", "2029");
  }

  @Test
  void ironOnRecordIsTakenOff() throws IOException {
    // Iron that the record says was loaded in 2028, though the readings know nothing of it.
    Files.writeString(folder.resolve("installed.csv"), "tray,pocket,piece,count\n1,4,thin,40\n");
    Files.writeString(
        folder.resolve("loadings.csv"),
        """
        round,time,by,takes_back,tray,pocket,piece,count,from,to,weighed_g,lot,note
        1,2028-01-07T10:00:00Z,A,,1,4,thin,40,0,40,,,
        """);
    JsonNode life = answer();
    JsonNode after = life.path("surveys").get(2).path("judgement");
    assertThat(after.path("iron_loaded").asBoolean()).isTrue();
    // By hand: 40 × 40 × 50 × 0.25 mm³ of 2.1 T at ρ 370, z −60 mm as a dipole along z,
    // B = J V (3 cos²θ − 1)/(4π r³), of 0.5501 T; the block is no point, so to 3 %.
    double r2 = 0.370 * 0.370 + 0.060 * 0.060;
    double dipole = 2.1 * 40 * 500e-9 * (3 * 0.0036 / r2 - 1) / (4 * Math.PI * Math.pow(r2, 1.5));
    double ppm = 1e6 * dipole / life.path("reference").path("field_T").asDouble();
    assertThat(after.path("centre_shift_ppm").asDouble())
        .isCloseTo(DECAY - ppm, within(0.03 * Math.abs(ppm)));
    assertThat(after.path("shape").path("changed").asBoolean()).isTrue();
    JsonNode year = life.path("years").get(2);
    assertThat(year.path("pieces_in").asInt()).isEqualTo(40);
    // 500 mm³ of 7.85 g/cm³ each
    assertThat(year.path("iron_in_g").asDouble()).isCloseTo(40 * 0.5 * 7.85, within(1e-9));
  }

  @Test
  void theYearsComeAsATableToo() throws IOException {
    Path years = folder.resolve("years.csv");
    CommandLineCall call = CommandLineCall.run("life", "--magnet", magnet, "--years", years);
    assertThat(call.status()).as(call.notes()).isEqualTo(ExitStatus.DONE);
    assertThat(call.answer()).contains("survey-2028.csv: CHANGED since survey-2027.csv");
    List<String> lines = Files.readAllLines(years);
    assertThat(lines).hasSize(5);
    int columns = lines.get(0).split(",", -1).length;
    assertThat(lines).allSatisfy(l -> assertThat(l.split(",", -1)).hasSize(columns));
    assertThat(lines.get(3)).startsWith("2028,1,1,").endsWith(",1,2028-03-01 moved");
  }

  @Test
  void ofSurveysRepeatedInAVisitTheLastIsWhatTheOthersAreHeldAgainst() throws IOException {
    Files.copy(folder.resolve("survey-2026.csv"), folder.resolve("survey-2026a.csv"));
    assertThat(CommandLineCall.run("life", "--magnet", magnet).answer())
        .contains(
            "surveys 5",
            "survey-2026.csv: repeated in the same visit",
            "survey-2026a.csv: what the others are held against",
            "2026: visits 1, surveys 2",
            "2027: visits 1, surveys 1\n");
  }

  @Test
  void anEventOfUnknownKindIsRefusedWithThoseThereAre() throws IOException {
    Files.writeString(folder.resolve("events.csv"), "date,kind\n2028-03-01,exploded\n");
    CommandLineCall call = CommandLineCall.run("life", "--magnet", magnet);
    assertThat(call.status()).isEqualTo(ExitStatus.BAD_INPUT);
    assertThat(call.notes()).contains("events.csv:2", "exploded", "moved, quench, ramped");
  }
}
