package org.fieldwright.app.cli;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A round that is half loaded and weighed: the rest is planned anew, what is done stays. */
class WeighedRoundTest {
  private static final Path MAGNET = CommandLineCall.EXAMPLES.resolve("magnet.yaml");
  private static final Path SURVEY = CommandLineCall.EXAMPLES.resolve("survey.csv");

  /** 40 mm × 50 mm × 0.25 mm of 7.85 g/cm³, as the example's magnet file has it. */
  private static final double GRAMS = 4 * 5 * 0.025 * 7.85;

  @TempDir private Path folder;

  @Test
  void theRestIsPlannedForWhatWasReallyLoaded() throws IOException {
    String head = "tray,pocket,piece,count,from,to,weighed_g";
    String heavy = "1,2,thin,14,0,14," + 1.02 * 14 * GRAMS;
    String wrong = "7,5,thin,9,0,9," + 10 * GRAMS;
    Path part = folder.resolve("part.csv");
    Files.write(part, List.of(head, heavy, "3,4,thin,11,0,11,", wrong));
    Path whole = folder.resolve("whole.csv");
    CommandLineCall call =
        CommandLineCall.run(
            "shim",
            SURVEY,
            "--magnet",
            MAGNET,
            "--seconds",
            "1",
            "--json",
            "--weighed",
            part,
            "--loading",
            whole);
    assertThat(call.status()).as(call.notes()).isEqualTo(ExitStatus.DONE);
    assertThat(Files.readAllLines(whole)).startsWith(head).contains(heavy, wrong);
    assertThat(call.notes())
        .contains("tray 7 pocket 5: 9 pieces of thin should weigh")
        .doesNotContain("tray 1 pocket 2");
    JsonNode answer = new ObjectMapper().readTree(call.answer());
    assertThat(answer.get("loading"))
        .isNotEmpty()
        .noneMatch(row -> row.get("tray").asInt() == 1 && row.get("pocket").asInt() == 2);
    assertThat(answer.get("planned_ppm").asDouble())
        .isLessThan(answer.get("before_ppm").asDouble());
  }

  @Test
  void aListWithoutAMassIsRefused() throws IOException {
    Path list = folder.resolve("list.csv");
    Files.writeString(list, "tray,pocket,piece,count\n1,1,thin,3\n");
    CommandLineCall call =
        CommandLineCall.run("shim", SURVEY, "--magnet", MAGNET, "--weighed", list);
    assertThat(call.status()).isEqualTo(ExitStatus.BAD_INPUT);
    assertThat(call.notes()).contains("weighed_g");
  }
}
