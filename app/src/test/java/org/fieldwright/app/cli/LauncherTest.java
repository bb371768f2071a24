package org.fieldwright.app.cli;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.DeserializationFeature;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The program as a person starts it: a process, from another folder, through a symbolic link. */
class LauncherTest {
  private static final Path LAUNCHER = Path.of("..", "fieldwright").toAbsolutePath().normalize();

  @TempDir private Path folder;
  private Path link = Path.of("");

  @BeforeEach
  void linkFromAFolderWithASpaceInItsName() throws IOException {
    link = Files.createDirectory(folder.resolve("my magnets")).resolve("fw");
    Files.createSymbolicLink(link, LAUNCHER);
    for (String file : List.of("survey.csv", "magnet.yaml")) {
      String name = file.replace("survey", "süd 1"); // a space, and a letter beyond ASCII
      Files.copy(CommandLineCall.EXAMPLES.resolve(file), link.resolveSibling(name));
    }
  }

  @AfterEach
  void unlink() throws IOException {
    Files.delete(link); // it leads out of the temporary folder
  }

  private CommandLineCall run(String... words) throws IOException, InterruptedException {
    List<String> command = new ArrayList<>(List.of(link.toString()));
    command.addAll(List.of(words));
    Path out = folder.resolve("out");
    Path err = folder.resolve("err");
    ProcessBuilder builder = new ProcessBuilder(command).directory(link.getParent().toFile());
    builder.environment().put("LC_ALL", "C");
    int status = builder.redirectOutput(out.toFile()).redirectError(err.toFile()).start().waitFor();
    return new CommandLineCall(
        status,
        Files.readString(out, StandardCharsets.UTF_8),
        Files.readString(err, StandardCharsets.UTF_8));
  }

  @Test
  void answersWithOneJsonDocumentAndTheGatesStatus() throws IOException, InterruptedException {
    CommandLineCall call =
        run("assess", "süd 1.csv", "--magnet", "magnet.yaml", "--json", "--gate");
    assertThat(call.status()).as(call.notes()).isEqualTo(ExitStatus.LIMIT_NOT_MET);
    ObjectMapper strict = new ObjectMapper();
    strict.enable(DeserializationFeature.FAIL_ON_TRAILING_TOKENS);
    JsonNode answer = strict.readTree(call.answer());
    assertThat(answer.at("/survey/file").asText()).endsWith("süd 1.csv");
    assertThat(answer.at("/limits/0/verdict").asText()).isEqualTo("not_met");
  }

  @Test
  void saysWhatIsWrongOnStandardErrorOnly() throws IOException, InterruptedException {
    CommandLineCall call = run("assess", "süd 1.csv", "--magnat", "magnet.yaml");
    assertThat(call.status()).isEqualTo(ExitStatus.BAD_INPUT);
    assertThat(call.answer()).isEmpty();
    assertThat(call.notes()).contains("'--magnat'", "'--magnet'");
  }
}
