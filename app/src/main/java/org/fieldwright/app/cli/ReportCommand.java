package org.fieldwright.app.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Clock;
import java.time.ZoneId;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.concurrent.Callable;
import java.util.stream.Collectors;
import org.fieldwright.app.assess.AssessService;
import org.fieldwright.app.assess.Assessment;
import org.fieldwright.app.evidence.ReportService;
import org.jspecify.annotations.Nullable;
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
      names = "--degree",
      paramLabel = "N",
      description = "Degree of the field model; by default the one of least leave-one-out error.")
  private @Nullable Integer degree;

  @Option(
      names = "--leave-out",
      split = ",",
      paramLabel = "ROW",
      description = "Rows of the survey file not to use.")
  private Set<Integer> leaveOut = Set.of();

  @Option(
      names = "--keep",
      split = ",",
      paramLabel = "ROW",
      description = "Rows to use even if they look like outliers.")
  private Set<Integer> keep = Set.of();

  ReportCommand(Output output) {
    this.output = output;
  }

  @Override
  public Integer call() throws IOException {
    Clock clock = Clock.systemUTC();
    ReportService reports = new ReportService(clock, ZoneId.systemDefault());
    reports.check(out);
    AssessService assess = new AssessService(clock);
    Assessment found =
        assess.assess(survey, magnet, new AssessService.Options(degree, leaveOut, keep, null));
    Assessment again =
        after == null
            ? null
            : assess.assess(
                after, magnet, new AssessService.Options(degree, Set.of(), Set.of(), null));
    String number = reports.write(out, new ReportService.Contents(found, null, again, options()));
    output.answer("Report %s is in %s".formatted(number, out));
    return ExitStatus.DONE;
  }

  private Map<String, String> options() {
    Map<String, String> options = new LinkedHashMap<>();
    if (degree != null) {
      options.put("--degree", degree.toString());
    }
    if (!leaveOut.isEmpty()) {
      options.put("--leave-out", rows(leaveOut));
    }
    if (!keep.isEmpty()) {
      options.put("--keep", rows(keep));
    }
    return options;
  }

  private static String rows(Set<Integer> rows) {
    return new TreeSet<>(rows).stream().map(String::valueOf).collect(Collectors.joining(","));
  }
}
