package org.fieldwright.app.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Clock;
import java.time.ZoneId;
import java.util.concurrent.Callable;
import org.fieldwright.app.assess.AssessService;
import org.fieldwright.app.assess.Assessment;
import org.fieldwright.app.correct.CorrectService;
import org.fieldwright.app.evidence.ReportService;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.Progress;
import org.fieldwright.core.correction.Plan;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** {@code report SURVEY --magnet M.yaml --out X.pdf}. */
@picocli.CommandLine.Command
final class ReportCommand implements Callable<Integer> {
  private final Output output;

  @Parameters(paramLabel = "SURVEY", description = "Readings, .csv or .xlsx.")
  private Path survey = Path.of("");

  @Option(names = "--magnet", required = true, paramLabel = "M.yaml", description = "Magnet file.")
  private Path magnet = Path.of("");

  @Option(names = "--out", required = true, paramLabel = "X.pdf", description = "Report to write.")
  private Path out = Path.of("");

  @Option(
      names = "--after",
      paramLabel = "SURVEY",
      description = "Readings taken after loading: the verdicts are then theirs.")
  private @Nullable Path after;

  @Option(
      names = "--loading",
      paramLabel = "PLAN.csv",
      description = "Changes that `shim --loading` wrote: the plan to print.")
  private @Nullable Path loading;

  @Option(names = "--plan", description = "Plan a loading now, as `shim` does.")
  private boolean plan;

  @Option(
      names = "--seconds",
      paramLabel = "S",
      description = "With --plan: to search at most; default 10.")
  private double seconds = 10;

  @Mixin private VettingChoices vetting = new VettingChoices();

  ReportCommand(Output output) {
    this.output = output;
  }

  @Override
  public Integer call() throws IOException {
    checkChoices();
    Clock clock = Clock.systemUTC();
    ReportService reports = new ReportService(clock, ZoneId.systemDefault());
    reports.check(out);
    AssessService assess = new AssessService(clock);
    Assessment found = assess.assess(survey, magnet, vetting.options(null));
    Assessment again =
        after == null ? null : assess.assess(after, magnet, vetting.optionsWithoutRows());
    String number =
        reports.write(
            out,
            new ReportService.Contents(found, planned(found), loading, again, vetting.given()));
    output.answer("Report %s is in %s".formatted(number, out));
    return ExitStatus.DONE;
  }

  private @Nullable Plan planned(Assessment found) {
    CorrectService.Options options = CorrectService.Options.DEFAULT;
    if (loading != null) {
      return CorrectService.evaluate(
          found.magnet(), found.model(), loading, options, Progress.NONE);
    }
    if (!plan) {
      return null;
    }
    try (TerminalProgress progress = new TerminalProgress(output, seconds)) {
      return CorrectService.plan(found.magnet(), found.model(), options, progress);
    }
  }

  private void checkChoices() {
    if (plan && loading != null) {
      throw new BadInput("--plan and --loading: found both; one plan is printed, name one of them");
    }
    if (!(seconds > 0)) {
      throw new BadInput("--seconds: found " + seconds + "; must be positive");
    }
  }
}
