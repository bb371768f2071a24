package org.fieldwright.app.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The documents that assess, shim and sampling print, held against each other and the contract. */
class AnswersTest {
  private static final Path SURVEY = CommandLineCall.EXAMPLES.resolve("survey.csv");
  private static final Path MAGNET = CommandLineCall.EXAMPLES.resolve("magnet.yaml");

  @TempDir private Path folder;

  private static JsonNode json(CommandLineCall call) throws IOException {
    return new ObjectMapper().readTree(call.answer());
  }

  @Test
  void anAssessmentAddsUp() throws IOException {
    CommandLineCall call = CommandLineCall.run("assess", SURVEY, "--magnet", MAGNET, "--json");
    assertThat(call.status()).as(call.notes()).isEqualTo(ExitStatus.DONE);
    JsonNode a = json(call);
    JsonNode s = a.get("survey");
    assertThat(s.get("readings").asInt())
        .isEqualTo(s.get("used").asInt() + s.get("revisits").asInt() + s.get("set_aside").size());
    assertThat(s.get("revisits").asInt()).isPositive();
    JsonNode h = a.get("harmonics");
    int degree = h.get("degree").asInt();
    assertThat(h.get("normalisation").asText()).isEqualTo("schmidt");
    assertThat(h.get("terms")).hasSize((degree + 1) * (degree + 1) - 1);
    JsonNode limit = a.get("limits").get(0);
    JsonNode extremes = limit.get("extremes");
    assertThat(extremes.get(0).get("ppm").asDouble() - extremes.get(1).get("ppm").asDouble())
        .isCloseTo(limit.get("value_ppm").asDouble(), within(1e-9));
    JsonNode centre = a.get("centre");
    assertThat(centre.get("frequency_MHz").asDouble())
        .isCloseTo(
            centre.get("field_T").asDouble() * centre.get("gamma_MHz_per_T").asDouble(),
            within(1e-9));
    // Volume RMS on a sphere of radius R: Σ c² (R/R0)^2n · 3/((2n+1)(2n+3)), noise taken off.
    double square = 0;
    for (JsonNode t : h.get("terms")) {
      int n = t.get("n").asInt();
      double c = Math.pow(t.get("value").asDouble(), 2);
      double u = Math.pow(t.get("uncertainty").asDouble(), 2);
      square += (c - u) * Math.pow(0.75, 2 * n) * 3 / ((2 * n + 1) * (2 * n + 3.0));
    }
    assertThat(a.get("limits").get(1).get("value_ppm").asDouble())
        .isCloseTo(Math.sqrt(square), within(1e-9));
  }

  @Test
  void thePersonsWordOnRowsStands() throws IOException {
    JsonNode survey =
        json(CommandLineCall.run(
                "assess",
                SURVEY,
                "--magnet",
                MAGNET,
                "--leave-out",
                "5,6",
                "--keep",
                "7",
                "--degree",
                "4",
                "--json"))
            .get("survey");
    assertThat(survey.get("set_aside").get(0).get("row").asInt()).isEqualTo(5);
    assertThat(survey.get("set_aside").get(1).get("why").asText()).isEqualTo("excluded");
  }

  @Test
  void whatTheMagnetFileFreesIsGivenOrRefused() throws IOException {
    String text = Files.readString(MAGNET);
    Path file = folder.resolve("magnet.yaml");
    Files.writeString(
        file,
        text.replace(
            "  range_MHz", "  free: {probes: [3], angles_deg: [60], drift: true}\n  range_MHz"));
    JsonNode freed =
        json(CommandLineCall.run("assess", SURVEY, "--magnet", file, "--json")).at("/survey/freed");
    assertThat(freed)
        .extracting(f -> f.get("what").asText() + " " + f.get("unit").asText())
        .containsExactlyInAnyOrder("probe_offset ppm", "angle_error deg", "drift ppm_per_hour");
    assertThat(freed).allSatisfy(f -> assertThat(f.get("uncertainty").asDouble()).isPositive());
    // twelve probes: at degree 11 an offset is a zonal field
    CommandLineCall refused =
        CommandLineCall.run("assess", SURVEY, "--magnet", file, "--degree", 11);
    assertThat(refused.status()).isEqualTo(ExitStatus.BAD_INPUT);
    assertThat(refused.notes())
        .contains("array.free")
        .contains("cannot tell the offset of probe 3 from a field of degree 11");
    Files.writeString(file, text.replace("  range_MHz", "  free: {probes: [99]}\n  range_MHz"));
    CommandLineCall unknown = CommandLineCall.run("assess", SURVEY, "--magnet", file);
    assertThat(unknown.status()).isEqualTo(ExitStatus.BAD_INPUT);
    assertThat(unknown.notes()).contains("probes").contains("99");
  }

  @Test
  void theGateCloses() {
    CommandLineCall call = CommandLineCall.run("assess", SURVEY, "--magnet", MAGNET, "--gate");
    assertThat(call.status()).isEqualTo(ExitStatus.LIMIT_NOT_MET);
    assertThat(call.answer()).contains("NOT MET");
  }

  @Test
  void aPlanStandsByItsBoundAndItsLoadingFile() throws IOException {
    Path loading = folder.resolve("loading.csv");
    CommandLineCall call =
        CommandLineCall.run(
            "shim",
            SURVEY,
            "--magnet",
            MAGNET,
            "--iterations",
            "2",
            "--json",
            "--loading",
            loading);
    assertThat(call.status()).as(call.notes()).isEqualTo(ExitStatus.DONE);
    JsonNode plan = json(call);
    double planned = plan.get("planned_ppm").asDouble();
    assertThat(planned).isGreaterThan(plan.get("relaxed_bound_ppm").asDouble());
    assertThat(planned).isLessThan(plan.get("before_ppm").asDouble());
    assertThat(plan.get("predicted_limits").get(0).get("value_ppm").asDouble())
        .isCloseTo(planned, within(1e-9));
    int added = 0;
    for (JsonNode row : plan.get("loading")) {
      assertThat(row.get("to").asInt()).isNotEqualTo(row.get("from").asInt());
      added += row.get("to").asInt() - row.get("from").asInt();
    }
    assertThat(added).isEqualTo(plan.get("pieces_added").asInt());
    assertThat(Files.readAllLines(loading)).hasSize(1 + plan.get("loading").size());
  }

  @Test
  void aPlanCanBeWrittenAsASheetForTheBench() throws IOException {
    Path sheet = folder.resolve("sheet.csv");
    CommandLineCall call =
        CommandLineCall.run(
            "shim", SURVEY, "--magnet", MAGNET, "--iterations", "1", "--sheet", sheet, "--json");
    assertThat(call.status()).as(call.notes()).isEqualTo(ExitStatus.DONE);
    int pieces = 0;
    for (String line : Files.readAllLines(sheet)) {
      String[] cells = line.split(",", -1);
      pieces += cells.length > 9 && cells[8].equals("add") ? Integer.parseInt(cells[9]) : 0;
    }
    assertThat(pieces).isEqualTo(json(call).get("pieces_added").asInt());
  }

  @Test
  void whatCannotBeReachedIsSaidToBe() throws IOException {
    CommandLineCall call =
        CommandLineCall.run(
            "shim",
            SURVEY,
            "--magnet",
            MAGNET,
            "--goal",
            "least-iron",
            "--target-ppm",
            "0.01",
            "--iterations",
            "1",
            "--json");
    assertThat(call.status()).isEqualTo(ExitStatus.NO_SOLUTION);
    assertThat(json(call).get("missed_by_ppm").asDouble()).isPositive();
    assertThat(json(call).get("unreachable_by_ppm").asDouble()).isPositive();
    assertThat(json(call).get("relaxed_bound_ppm").asDouble()).isGreaterThan(0.01);
  }

  @Test
  void uniformityCostsIronAndPockets() throws Exception {
    Path plot = folder.resolve("trade-off.svg");
    CommandLineCall call =
        CommandLineCall.run(
            "shim", SURVEY, "--magnet", MAGNET, "--trade-off", plot, "--iterations", "1", "--json");
    assertThat(call.status()).as(call.notes()).isEqualTo(ExitStatus.DONE);
    double mass = Double.POSITIVE_INFINITY;
    double asked = 0;
    for (JsonNode row : json(call).get("trade_off")) {
      if (row.get("goal").asText().equals("least-iron")) {
        assertThat(row.get("asked_ppm").asDouble()).isGreaterThan(asked);
        assertThat(row.get("mass_added_g").asDouble()).isLessThan(mass);
        assertThat(row.get("mass_added_g").asDouble())
            .isGreaterThan(row.get("relaxed_mass_bound_g").asDouble() - 1e-6);
        asked = row.get("asked_ppm").asDouble();
        mass = row.get("mass_added_g").asDouble();
      }
    }
    assertThat(asked).isPositive();
    javax.xml.parsers.DocumentBuilderFactory.newInstance()
        .newDocumentBuilder()
        .parse(plot.toFile());
  }

  @Test
  void aCoilThatIsOffDoesNothing() throws IOException {
    CommandLineCall call =
        CommandLineCall.run(
            "coil", SURVEY, SURVEY, "--magnet", MAGNET, "--id", "Z2", "--amperes", "2", "--json");
    assertThat(call.status()).as(call.notes()).isEqualTo(ExitStatus.DONE);
    JsonNode terms = json(call).get("terms");
    assertThat(terms.size()).isGreaterThan(3);
    for (JsonNode term : terms) {
      assertThat(term.get("value").asDouble()).isCloseTo(0, within(1e-9));
      assertThat(term.get("uncertainty").asDouble()).isNotNegative();
    }
    CommandLineCall none =
        CommandLineCall.run(
            "coil", SURVEY, SURVEY, "--magnet", MAGNET, "--id", "Z2", "--amperes", "0");
    assertThat(none.status()).isEqualTo(ExitStatus.BAD_INPUT);
    assertThat(none.notes()).contains("--amperes");
  }

  @Test
  void aForecastNamesWhatItCannotSee() throws IOException {
    JsonNode forecast =
        json(CommandLineCall.run("sampling", "--magnet", MAGNET, "--angles", "12", "--json"));
    JsonNode candidate = forecast.get("candidates").get(0);
    assertThat(candidate.get("degree").asInt()).isEqualTo(6);
    assertThat(candidate.get("unseen").get(0).get("m").asInt()).isEqualTo(6);
    assertThat(candidate.get("aliases").get(0).get("looks_like_m").asInt()).isEqualTo(5);
  }
}
