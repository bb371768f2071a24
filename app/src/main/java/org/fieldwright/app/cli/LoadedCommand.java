package org.fieldwright.app.cli;

import java.nio.file.Path;
import java.time.Clock;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.Callable;
import org.fieldwright.app.correct.RecordAnswer;
import org.fieldwright.app.correct.RecordService;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.correction.IronSettling;
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

  @Option(
      names = "--iron-off-K",
      paramLabel = "K",
      description =
          "By how much the iron was warmer or colder than the bore: tells how long to wait for the next survey.")
  private @Nullable Double ironOff;

  @Option(
      names = "--settling-min",
      paramLabel = "T",
      description =
          "Time constant with which iron takes on the bore's temperature, for --iron-off-K.")
  private @Nullable Double settling;

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
    if (ironOff != null && (settling == null || !(settling > 0))) {
      throw new BadInput(
          "--settling-min: found %s; --iron-off-K needs the time constant, in minutes"
              .formatted(settling));
    }
    RecordService service = new RecordService(Clock.systemUTC());
    if (takeBack) {
      done(service.takeBack(magnet, requireName(), note));
    } else if (changes != null) {
      done(service.add(magnet, changes, requireName(), note));
    } else {
      answer(RecordService.rounds(magnet));
    }
    return ExitStatus.DONE;
  }

  private void done(LoadedRound round) {
    answer(List.of(round));
    if (ironOff != null && settling != null) {
      double wait = RecordService.waitingMin(magnet, round, ironOff, settling);
      output.note(
          String.format(
              Locale.ROOT,
              "Wait %.0f min before the next survey: the iron settles as e^(-t/%.0f min), all alike (an assumption), until %.2f ppm are still to come.",
              wait,
              settling,
              IronSettling.SETTLED_PPM));
    }
  }

  private String requireName() {
    if (by == null || by.isBlank()) {
      throw new BadInput("--by: whose hands did it? A record needs a name");
    }
    return by;
  }

  private void answer(List<LoadedRound> rounds) {
    if (json) {
      output.answer(RecordAnswer.json(rounds, RecordService.lots(magnet)));
    } else {
      output.answer(RecordAnswer.text(rounds, RecordService.lots(magnet)));
    }
  }
}
