package org.fieldwright.app.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Clock;
import java.time.ZoneId;
import java.util.concurrent.Callable;
import org.fieldwright.app.correct.CorrectService;
import org.fieldwright.app.evidence.ReportService;
import org.fieldwright.app.evidence.VisitFiles;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.correction.Plan;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.magnet.Magnet;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code report SURVEY --magnet M.yaml --out X.pdf}. */
@picocli.CommandLine.Command
final class ReportCommand implements Callable<Integer> {
  private final Output output;

  @Option(names = "--out", required = true, paramLabel = "X.pdf", description = "Report to write.")
  private Path out = Path.of("");

  @Option(names = "--plan", description = "Plan a loading now, as `shim` does.")
  private boolean plan;

  @Option(
      names = "--seconds",
      paramLabel = "S",
      description = "With --plan: to search at most; default 10.")
  private double seconds = 10;

  @Mixin private VisitOptions visit = new VisitOptions();

  ReportCommand(Output output) {
    this.output = output;
  }

  @Override
  public Integer call() throws IOException {
    VisitFiles files = visit.files();
    checkChoices(files);
    ReportService reports =
        new ReportService(Clock.systemUTC(), ZoneId.systemDefault(), visit.numbers());
    String number = reports.write(out, files, plan ? this::planned : null);
    output.answer("Report %s is in %s".formatted(number, out));
    return ExitStatus.DONE;
  }

  private Plan planned(Magnet magnet, FieldModel model) {
    try (TerminalProgress progress = new TerminalProgress(output, seconds)) {
      return CorrectService.plan(magnet, model, CorrectService.Options.DEFAULT, progress);
    }
  }

  private void checkChoices(VisitFiles files) {
    boolean open =
        !files.rounds().isEmpty() && files.rounds().get(files.rounds().size() - 1).after() == null;
    if (plan && open) {
      throw new BadInput(
          "--plan and --loading: found both for one round; one plan is printed, name one of them");
    }
    if (!(seconds > 0)) {
      throw new BadInput("--seconds: found " + seconds + "; must be positive");
    }
  }
}
