package org.fieldwright.app.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.networknt.schema.InputFormat;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.SpecificationVersion;
import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Objects;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A round on the magnet of the demonstration, whose steel is weaker than its data sheet. */
class CompareCommandTest {
  private static final double THICK_STRENGTH = 0.992; // as the scenario has it

  @TempDir private static Path folder;
  private static Path before;
  private static Path after;
  private static Path magnet;
  private static Path changes;

  @BeforeAll
  static void makeARound() throws IOException {
    String text = resource("/demo/magnet.yaml");
    magnet = folder.resolve("magnet.yaml");
    // only what is independent from stack to stack, so that the strength found is the scenario's
    Files.writeString(
        magnet,
        text.replaceFirst("errors: \\{.*}", "errors: {piece_mass_percent: 1, position_mm: 0.3}"));
    Files.writeString(folder.resolve("installed.csv"), resource("/demo/installed.csv"));
    Files.writeString(folder.resolve("scenario.yaml"), resource("/demo/scenario.yaml"));
    StringBuilder csv = new StringBuilder("tray,pocket,piece,count\n");
    for (int tray = 1; tray <= 24; tray++) {
      csv.append("%d,%d,thick,%d\n".formatted(tray, 1 + tray % 9, 5 + tray % 7));
      csv.append("%d,%d,thick,%d\n".formatted(tray, 1 + (tray + 4) % 9, 3 + tray % 4));
    }
    changes = Files.writeString(folder.resolve("changes.csv"), csv);
    Path scenario = folder.resolve("scenario.yaml");
    Path first = folder.resolve("first");
    Path next = folder.resolve("next");
    for (CommandLineCall call :
        java.util.List.of(
            CommandLineCall.run("simulate", "--scenario", scenario, "--out", first),
            CommandLineCall.run(
                "simulate", "--scenario", scenario, "--loaded", changes, "--out", next))) {
      assertThat(call.status()).as(call.notes()).isEqualTo(ExitStatus.DONE);
    }
    before = first.resolve("survey-1.csv");
    after = next.resolve("survey-2.csv");
  }

  private static String resource(String name) throws IOException {
    try (InputStream in =
        Objects.requireNonNull(CompareCommandTest.class.getResourceAsStream(name))) {
      return new String(in.readAllBytes(), java.nio.charset.StandardCharsets.UTF_8);
    }
  }

  private static JsonNode answer(Object... more) throws IOException {
    Object[] words = {"compare", before, after, "--magnet", magnet, "--json"};
    Object[] all = java.util.Arrays.copyOf(words, words.length + more.length);
    System.arraycopy(more, 0, all, words.length, more.length);
    CommandLineCall call = CommandLineCall.run(all);
    assertThat(call.status()).as(call.notes()).isEqualTo(ExitStatus.DONE);
    String schema = Files.readString(Path.of("..", "docs", "schemas", "compare.schema.json"));
    assertThat(
            SchemaRegistry.withDefaultDialect(SpecificationVersion.DRAFT_2020_12)
                .getSchema(schema)
                .validate(call.answer(), InputFormat.JSON))
        .isEmpty();
    return new ObjectMapper().readTree(call.answer());
  }

  @Test
  void theStrengthOfTheSteelIsLearned() throws IOException {
    JsonNode answer = answer("--loaded", changes);
    JsonNode strength = answer.at("/loaded/strengths/0");
    assertThat(strength.get("piece").asText()).isEqualTo("thick");
    double u = strength.get("uncertainty").asDouble();
    assertThat(u).isLessThan(0.005);
    assertThat(strength.get("factor").asDouble()).isCloseTo(THICK_STRENGTH, within(3.5 * u));
    assertThat(answer.at("/loaded/suspicions"))
        .allSatisfy(s -> assertThat(s.get("strong").asBoolean()).isFalse());
    for (JsonNode left : answer.at("/loaded/left")) {
      assertThat(left.get("after_learning_surface_rms_ppm").asDouble())
          .isLessThan(left.get("by_the_sheet_surface_rms_ppm").asDouble());
    }
  }

  /** change = after · (Bc after / Bc before) − before, term by term. */
  @Test
  void theTermsAddUp() throws IOException {
    JsonNode answer = answer();
    assertThat(answer.get("loaded").isNull()).isTrue();
    double scale = 1 + 1e-6 * answer.get("centre_shift_ppm").asDouble();
    assertThat(answer.at("/after/centre_field_T").asDouble())
        .isCloseTo(scale * answer.at("/before/centre_field_T").asDouble(), within(1e-15));
    for (JsonNode t : answer.at("/harmonics/terms")) {
      if (!t.get("change").isNull()) {
        assertThat(t.get("change").asDouble())
            .isCloseTo(
                scale * t.get("after").asDouble() - t.get("before").asDouble(), within(1e-9));
      }
    }
  }

  /** A tray put in the other end first is what the sheet for a reversed tray would describe. */
  @Test
  void aReversedTrayIsNamed() throws IOException {
    String[] lines = Files.readString(changes).split("\n", -1);
    StringBuilder wrong = new StringBuilder();
    for (String line : lines) {
      String[] f = line.split(",", -1);
      boolean turned = f[0].equals("5");
      wrong
          .append(
              turned
                  ? String.join(",", f[0], String.valueOf(10 - Integer.parseInt(f[1])), f[2], f[3])
                  : line)
          .append('\n');
    }
    Path sheet = Files.writeString(folder.resolve("turned.csv"), wrong);
    JsonNode first = answer("--loaded", sheet).at("/loaded/suspicions/0");
    assertThat(first.get("what").asText()).isEqualTo("tray_reversed");
    assertThat(first.get("tray").asInt()).isEqualTo(5);
    assertThat(first.get("strong").asBoolean()).isTrue();
  }

  @Test
  void aSheetWithoutChangesIsRefused() throws IOException {
    Path empty = Files.writeString(folder.resolve("empty.csv"), "tray,pocket,piece,count\n");
    CommandLineCall call =
        CommandLineCall.run("compare", before, after, "--magnet", magnet, "--loaded", empty);
    assertThat(call.status()).isEqualTo(ExitStatus.BAD_INPUT);
    assertThat(call.notes()).contains("empty.csv");
  }

  @Test
  void whatWasLearnedIsEnteredOnRequest() throws IOException {
    Path own = folder.resolve("own.yaml");
    Files.copy(magnet, own);
    CommandLineCall call =
        CommandLineCall.run(
            "compare",
            before,
            after,
            "--magnet",
            own,
            "--loaded",
            changes,
            "--json",
            "--write-strength");
    assertThat(call.status()).as(call.notes()).isEqualTo(ExitStatus.DONE);
    double learned =
        new ObjectMapper().readTree(call.answer()).at("/loaded/strengths/0/learned").asDouble();
    List<String> lines = new ArrayList<>(Files.readAllLines(own));
    lines.removeAll(Files.readAllLines(magnet));
    assertThat(lines)
        .containsExactly(String.format(Locale.ROOT, "  strength: {thick: %.4f}", learned));
    CommandLineCall alone =
        CommandLineCall.run("compare", before, after, "--magnet", own, "--write-strength");
    assertThat(alone.status()).isEqualTo(ExitStatus.BAD_INPUT);
    assertThat(alone.notes()).contains("--loaded");
  }
}
