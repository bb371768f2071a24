package org.fieldwright.app.cli;

import java.nio.file.Path;
import java.time.Clock;
import java.util.List;
import java.util.concurrent.Callable;
import org.fieldwright.app.correct.RecordAnswer;
import org.fieldwright.app.correct.RecordService;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.correction.LoadedRound;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** {@code loaded [CHANGES.csv] --magnet M.yaml}. */
@picocli.CommandLine.Command
final class LoadedCommand implements Callable<Integer> {
  private final Output output;

  @Parameters(
      arity = "0..1",
      paramLabel = "CHANGES.csv",
      description = "What was really changed. Without it: what has been recorded so far.")
  private @Nullable Path changes;

  @Option(names = "--magnet", required = true, paramLabel = "M.yaml", description = "Magnet file.")
  private Path magnet = Path.of("");

  @Option(names = "--by", paramLabel = "NAME", description = "Who loaded.")
  private @Nullable String by;

  @Option(names = "--note", paramLabel = "TEXT", description = "To remember with it.")
  private String note = "";

  @Option(names = "--take-back", description = "The last round was taken out again.")
  private boolean takeBack;

  @Option(names = "--json", description = "Answer with one JSON document.")
  private boolean json;

  LoadedCommand(Output output) {
    this.output = output;
  }

  @Override
  public Integer call() {
    if (takeBack && changes != null) {
      throw new BadInput("--take-back: found " + changes + " too; it takes no list of changes");
    }
    RecordService service = new RecordService(Clock.systemUTC());
    if (takeBack) {
      answer(List.of(service.takeBack(magnet, requireName(), note)));
    } else if (changes != null) {
      answer(List.of(service.add(magnet, changes, requireName(), note)));
    } else {
      answer(RecordService.rounds(magnet));
    }
    return ExitStatus.DONE;
  }

  private String requireName() {
    if (by == null || by.isBlank()) {
      throw new BadInput("--by: whose hands did it? A record needs a name");
    }
    return by;
  }

  private void answer(List<LoadedRound> rounds) {
    if (json) {
      output.answer(RecordAnswer.json(rounds));
    } else {
      output.answer(RecordAnswer.text(rounds));
    }
  }
}
