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
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The pull at the trays, for a magnet folder that tells the field's gradient. */
class TrayPullsTest {
  private static final Path SURVEY = CommandLineCall.EXAMPLES.resolve("survey.csv");

  @TempDir private Path folder;

  private CommandLineCall shim(String gradient, Object... more) throws IOException {
    String text = Files.readString(CommandLineCall.EXAMPLES.resolve("magnet.yaml"));
    Path magnet = folder.resolve("magnet.yaml");
    Files.writeString(magnet, text.replaceFirst("(?m)^iron:\\s*$", "iron:\n  gradient: pull.csv"));
    Files.writeString(folder.resolve("pull.csv"), gradient);
    Object[] words = new Object[6 + more.length];
    Object[] first = {"shim", SURVEY, "--magnet", magnet, "--seconds", "0.5"};
    System.arraycopy(first, 0, words, 0, 6);
    System.arraycopy(more, 0, words, 6, more.length);
    return CommandLineCall.run(words);
  }

  /**
   * In a gradient that is the same everywhere the pull is J V/μ0 times it, wherever the tray is.
   */
  @Test
  void aPlanTellsHowTheFieldPulls() throws IOException {
    String even = "z_mm,gradient_T_per_m\n-2000,-2\n2000,-2\n";
    CommandLineCall call = shim(even, "--json");
    assertThat(call.status()).as(call.notes()).isEqualTo(ExitStatus.DONE);
    JsonNode plan = new ObjectMapper().readTree(call.answer());
    JsonNode pulls = plan.get("pulls");
    assertThat(pulls.get("coming_out")).isEmpty(); // nothing was installed
    assertThat(pulls.get("going_in")).isNotEmpty();
    for (JsonNode tray : pulls.get("going_in")) {
      double volume =
          tray.get("iron_g").asDouble() * 1e-3 / 7850; // density of the example's pieces
      double expected = -2 * 2.1 * volume / 1.25663706127e-6; // J = 2.1 T, CODATA 2022
      assertThat(tray.get("home_N").asDouble()).isCloseTo(expected, within(1e-9 * -expected));
      assertThat(tray.get("largest_N").asDouble()).isCloseTo(expected, within(1e-9 * -expected));
      assertThat(tray.get("side_N").isNull()).isTrue();
    }
    assertThat(
            SchemaRegistry.withDefaultDialect(SpecificationVersion.DRAFT_2020_12)
                .getSchema(Files.readString(Path.of("..", "docs", "schemas", "shim.schema.json")))
                .validate(call.answer(), InputFormat.JSON))
        .isEmpty();
    assertThat(shim(even).answer()).contains("decides nothing", "going in");
  }

  @Test
  void aProfileThatEndsBeforeThePocketsIsRefused() throws IOException {
    CommandLineCall call = shim("z_mm,gradient_T_per_m\n-100,1\n100,1\n");
    assertThat(call.status()).isEqualTo(ExitStatus.BAD_INPUT);
    assertThat(call.notes()).contains("pull.csv", "-100.0 to 100.0", "reach over all pockets");
    CommandLineCall backwards = shim("z_mm,gradient_T_per_m\n100,1\n-100,1\n");
    assertThat(backwards.notes()).contains("pull.csv:3", "ascending");
  }
}
