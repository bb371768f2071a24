package org.fieldwright.app.cli;

import static java.nio.charset.StandardCharsets.ISO_8859_1;
import static java.nio.charset.StandardCharsets.UTF_16;
import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.RandomAccessFile;
import java.io.UncheckedIOException;
import java.io.Writer;
import java.nio.charset.Charset;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Whatever is wrong with a file is told in one line that names the file and the place, what was
 * found and what would be right, with status 2 and nothing on standard output.
 */
@Timeout(value = 60, unit = TimeUnit.SECONDS) // a guard against hanging, not a measurement
class BadInputTest {
  private static final int MANY_ALIASES = 200;

  @TempDir private Path folder;

  /**
   * @param file the file that is wrong, survey.csv or magnet.yaml
   * @param content of that file; the other one is the example's
   * @param message fragments of the message
   */
  private record Case(
      String what, String file, String content, Charset charset, List<String> message) {
    @Override
    public String toString() {
      return what;
    }
  }

  private static Case survey(String what, String content, String... message) {
    return new Case(what, "survey.csv", content, UTF_8, List.of(message));
  }

  private static Case magnet(String what, String content, String... message) {
    return new Case(what, "magnet.yaml", content, UTF_8, List.of(message));
  }

  private static String example(String file) {
    try {
      return Files.readString(CommandLineCall.EXAMPLES.resolve(file));
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  /** The example survey with one line exchanged; the header is line 2. */
  private static String line(int number, String text) {
    String[] lines = example("survey.csv").split("\n");
    lines[number - 1] = text;
    return String.join("\n", lines) + "\n";
  }

  private static String edit(String found, String replacement) {
    String text = example("magnet.yaml");
    assertThat(text).contains(found);
    return text.replace(found, replacement);
  }

  private static String noise() {
    byte[] bytes = new byte[4096];
    new Random(20261125).nextBytes(bytes);
    bytes[0] = 0;
    return new String(bytes, ISO_8859_1);
  }

  static Stream<Case> surveys() {
    String header = "angle_deg,probe,frequency_MHz,time\n";
    return Stream.of(
        survey("empty file", "", "empty"),
        survey("header only", header, "no reading"),
        new Case("binary", "survey.csv", noise(), ISO_8859_1, List.of("text")),
        new Case("UTF-16", "survey.csv", example("survey.csv"), UTF_16, List.of("UTF-8")),
        survey("no value column", line(2, "angle_deg,probe,colour,time"), ":2", "frequency"),
        survey("unknown unit", line(2, "angle_deg,probe,frequency_rpm,time"), ":2", "rpm", "MHz"),
        survey("near miss of a column", line(2, "angel_deg,probe,frequency_MHz,time"), "angle_deg"),
        survey("word in a number", line(5, "0,3,locked,2026-11-20T08:00:00Z"), ":5", "'locked'"),
        survey("not a number", line(5, "0,3,NaN,2026-11-20T08:00:00Z"), ":5", "NaN"),
        survey("beyond a double", line(5, "0,3,1e999,2026-11-20T08:00:00Z"), ":5", "1e999"),
        survey("short row", line(5, "0,3"), ":5", "2", "4"),
        survey("unclosed quote", line(5, "0,3,\"23.42,2026-11-20T08:00:00Z"), "line 5", "quote"),
        survey("unknown probe", line(5, "0,33,23.42,2026-11-20T08:00:00Z"), ":5", "33"),
        survey("bad time", line(5, "0,3,23.42,yesterday"), ":5", "yesterday", "ISO 8601"),
        survey("time without offset", line(5, "0,3,23.42,2026-11-20T08:00:00"), ":5", "offset"),
        survey("too few readings", header + "0,1,23.42,2026-11-20T08:00:00Z\n", "1"));
  }

  static Stream<Case> magnets() {
    StringBuilder bomb = new StringBuilder("a: &a [x, x]\nb:\n");
    for (int i = 0; i < MANY_ALIASES; i++) {
      bomb.append("  - *a\n");
    }
    return Stream.of(
        magnet("empty file", "", "empty"),
        magnet("YAML syntax", edit("magnet:\n  name", "magnet:\n\tname"), ":4"),
        magnet("unknown key", edit("radius_mm: 200", "radious_mm: 200"), ":10", "radius_mm"),
        magnet("mistyped key", edit("field_T: 0.55", "field_t: 0.55"), ":6", "field_T"),
        magnet("word for a number", edit("field_T: 0.55", "field_T: strong"), ":6", "strong"),
        magnet("negative radius", edit("radius_mm: 200", "radius_mm: -200"), ":10", "-200"),
        magnet("unknown unit", edit("limit_ppm: 40", "limit_ppb: 40"), "limit_ppb", "limit_ppm"),
        magnet("unknown shape", edit("shape: sphere", "shape: sphera"), "sphera", "sphere"),
        magnet(
            "duplicate probe",
            edit(
                "{kind: gauss_legendre, count: 12}",
                "[{id: 1, polar_deg: 10}, {id: 1, polar_deg: 20}]"),
            ":11",
            "1"),
        magnet("alias bomb", bomb.toString(), "alias"),
        magnet("no magnet", "fieldwright: 1\n", "magnet"));
  }

  static Stream<Case> everything() {
    return Stream.concat(surveys(), magnets());
  }

  @ParameterizedTest
  @MethodSource("everything")
  void isToldInOneLine(Case c) throws IOException {
    CommandLineCall call = assess(c);
    assertThat(call.status()).as(call.notes()).isEqualTo(ExitStatus.BAD_INPUT);
    assertThat(call.answer()).isEmpty();
    assertThat(call.notes().strip().lines()).as(call.notes()).hasSize(1);
    assertThat(call.notes()).contains(c.file()).contains(c.message()).doesNotContain("\tat ");
  }

  private CommandLineCall assess(Case c) throws IOException {
    for (String file : List.of("survey.csv", "magnet.yaml")) {
      Files.copy(CommandLineCall.EXAMPLES.resolve(file), folder.resolve(file));
    }
    Files.writeString(folder.resolve(c.file()), c.content(), c.charset());
    return CommandLineCall.run(
        "assess",
        folder.resolve("survey.csv"),
        "--magnet",
        folder.resolve("magnet.yaml"),
        "--json");
  }

  @Test
  void theExampleItselfIsGood() throws IOException {
    Case none = survey("nothing", example("survey.csv"));
    assertThat(assess(none).status()).isEqualTo(ExitStatus.DONE);
  }

  @Test
  void filesThatAreNotThereAreNamed() {
    CommandLineCall call = CommandLineCall.run("assess", "none.csv", "--magnet", "none.yaml");
    assertThat(call.status()).isEqualTo(ExitStatus.BAD_INPUT);
    assertThat(call.notes()).contains("none.yaml");
    assertThat(call.answer()).isEmpty();
  }

  @Test
  void aFolderIsNotAFile() {
    Path magnet = CommandLineCall.EXAMPLES.resolve("magnet.yaml");
    CommandLineCall call = CommandLineCall.run("assess", folder, "--magnet", magnet);
    assertThat(call.status()).isEqualTo(ExitStatus.BAD_INPUT);
    assertThat(call.notes()).contains(folder.toString());
  }

  /** Bounds of a survey: 256 MiB and two million readings; both are told before memory runs out. */
  @Test
  void aSurveyBeyondAnyUseIsRefused() throws IOException {
    Path magnet = CommandLineCall.EXAMPLES.resolve("magnet.yaml");
    Path large = folder.resolve("large.csv");
    try (RandomAccessFile file = new RandomAccessFile(large.toFile(), "rw")) {
      file.setLength((256L << 20) + 1);
    }
    CommandLineCall byBytes = CommandLineCall.run("assess", large, "--magnet", magnet);
    assertThat(byBytes.status()).isEqualTo(ExitStatus.BAD_INPUT);
    assertThat(byBytes.notes()).contains("large.csv", "256 MiB");

    Path longOne = folder.resolve("long.csv");
    try (Writer writer = Files.newBufferedWriter(longOne)) {
      writer.write("angle_deg,probe,frequency_MHz\n");
      for (int i = 0; i <= 2_000_000; i++) {
        writer.write("0,1,23.4\n");
      }
    }
    CommandLineCall byRows = CommandLineCall.run("assess", longOne, "--magnet", magnet);
    assertThat(byRows.status()).isEqualTo(ExitStatus.BAD_INPUT);
    assertThat(byRows.notes()).contains("long.csv", "2000000 readings");
  }

  /** Every command that writes, on an input that is wrong. */
  @ParameterizedTest
  @ValueSource(
      strings = {
        "shim survey.csv --magnet magnet.yaml --loading left",
        "report survey.csv --magnet magnet.yaml --out left.pdf",
        "simulate --scenario survey.csv --out left",
      })
  void leavesNothingHalfWritten(String command) throws IOException {
    Files.copy(CommandLineCall.EXAMPLES.resolve("magnet.yaml"), folder.resolve("magnet.yaml"));
    Files.writeString(folder.resolve("survey.csv"), line(5, "0,3,locked,2026-11-20T08:00:00Z"));
    List<String> files = List.of("survey.csv", "magnet.yaml", "left", "left.pdf");
    Object[] words =
        Stream.of(command.split(" "))
            .map(word -> files.contains(word) ? folder.resolve(word).toString() : word)
            .toArray();
    CommandLineCall call = CommandLineCall.run(words);
    assertThat(call.status()).as(call.notes()).isEqualTo(ExitStatus.BAD_INPUT);
    assertThat(call.answer()).isEmpty();
    assertThat(call.notes()).contains("survey.csv");
    try (Stream<Path> found = Files.list(folder)) {
      assertThat(found.map(f -> f.getFileName().toString()))
          .containsExactlyInAnyOrder("survey.csv", "magnet.yaml");
    }
  }
}
