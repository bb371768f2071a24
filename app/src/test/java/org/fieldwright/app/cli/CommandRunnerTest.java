package org.fieldwright.app.cli;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.Callable;
import org.fieldwright.core.BadInput;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** The exit statuses are those of the command-line contract, docs/guide/command-line.md. */
class CommandRunnerTest {
  private final ByteArrayOutputStream out = new ByteArrayOutputStream();
  private final ByteArrayOutputStream err = new ByteArrayOutputStream();

  @picocli.CommandLine.Command
  static final class Weigh implements Callable<Integer> {
    private final Output output;

    @Parameters(paramLabel = "PIECE", description = "what to weigh")
    private String piece = "";

    @Option(names = "--count", description = "how many")
    private int count = 1;

    Weigh(Output output) {
      this.output = output;
    }

    @Override
    public Integer call() throws IOException {
      switch (piece) {
        case "bad" -> throw new BadInput("pieces.csv:3: thickness -1 is negative");
        case "absent" -> throw new NoSuchFileException("pieces.csv");
        case "fault" -> throw new IllegalStateException("lost count");
        case "deep" -> throw new StackOverflowError();
        case "unmet" -> {
          return ExitStatus.LIMIT_NOT_MET;
        }
        default -> output.answer(JsonNodeFactory.instance.objectNode().put("pieces", count));
      }
      return ExitStatus.DONE;
    }
  }

  @TempDir private Path traces;

  private int run(String... args) {
    Command weigh = new Command("weigh", "weigh pieces of iron", Weigh::new);
    return new CommandRunner(List.of(weigh), new Output(out, err), traces).run(List.of(args));
  }

  private String said() {
    return err.toString(StandardCharsets.UTF_8);
  }

  private String answered() {
    return out.toString(StandardCharsets.UTF_8);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      quoteCharacter = '`',
      value = {
        "wiegh thin               | 2 | Did you mean 'weigh'?",
        "zzz                      | 2 | unknown command 'zzz'",
        "weigh thin --cuont 3     | 2 | Did you mean '--count'?",
        "weigh thin --count=x     | 2 | --count",
        "weigh thin --count       | 2 | --count",
        "weigh thin thick         | 2 | 'thick' is one word more",
        "weigh                    | 2 | PIECE",
        "weigh bad                | 2 | pieces.csv:3: thickness -1 is negative",
        "weigh absent             | 2 | pieces.csv: no such file",
        "weigh fault              | 1 | lost count",
        "weigh deep               | 1 | StackOverflowError",
      })
  void whatGoesWrongIsSaidOnStandardErrorOnly(String words, int status, String message) {
    assertThat(run(words.split(" +"))).isEqualTo(status);
    assertThat(answered()).isEmpty();
    assertThat(said()).contains(message).doesNotContain("\tat ");
  }

  @Test
  void aFaultLeavesItsTraceInAFile() throws IOException {
    run("weigh", "fault");
    String name = said().replaceAll("(?s).*The trace is in (\\S+);.*", "$1");
    assertThat(Path.of(name)).content().contains("lost count", "\tat ", "fieldwright ");
  }

  @Test
  void theAnswerOfTheCommandIsItsStatus() {
    assertThat(run("weigh", "unmet")).isEqualTo(ExitStatus.LIMIT_NOT_MET);
    assertThat(run("weigh", "thin", "--count", "7")).isEqualTo(ExitStatus.DONE);
    assertThat(answered()).isEqualToIgnoringWhitespace("{\"pieces\": 7}");
    assertThat(said()).isEmpty();
  }

  @Test
  void helpListsEveryCommandAndEveryOption() {
    assertThat(run("--help")).isEqualTo(ExitStatus.DONE);
    assertThat(answered()).contains("weigh  weigh pieces of iron");
    out.reset();
    assertThat(run("weigh", "--help")).isEqualTo(ExitStatus.DONE);
    assertThat(answered()).contains("weigh pieces of iron", "--count", "PIECE");
  }

  @Test
  void noWordsAtAllIsBadUsage() {
    assertThat(run()).isEqualTo(ExitStatus.BAD_INPUT);
    assertThat(answered()).isEmpty();
    assertThat(said()).contains("weigh pieces of iron");
  }
}
