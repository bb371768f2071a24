package org.fieldwright.app.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Clock;
import java.time.ZoneId;
import java.util.concurrent.Callable;
import org.fieldwright.app.assess.AssessService;
import org.fieldwright.app.assess.Assessment;
import org.fieldwright.app.evidence.ReportService;
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

  @Mixin private VettingChoices vetting = new VettingChoices();

  ReportCommand(Output output) {
    this.output = output;
  }

  @Override
  public Integer call() throws IOException {
    Clock clock = Clock.systemUTC();
    ReportService reports = new ReportService(clock, ZoneId.systemDefault());
    reports.check(out);
    AssessService assess = new AssessService(clock);
    Assessment found = assess.assess(survey, magnet, vetting.options(null));
    Assessment again =
        after == null ? null : assess.assess(after, magnet, vetting.optionsWithoutRows());
    String number =
        reports.write(out, new ReportService.Contents(found, null, again, vetting.given()));
    output.answer("Report %s is in %s".formatted(number, out));
    return ExitStatus.DONE;
  }
}
