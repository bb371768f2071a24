package org.fieldwright.app.cli;

import java.nio.file.Path;
import java.time.Clock;
import java.util.concurrent.Callable;
import org.fieldwright.app.assess.AssessService;
import org.fieldwright.app.outside.OutsideAnswer;
import org.fieldwright.app.outside.OutsideJson;
import org.fieldwright.app.outside.OutsideService;
import org.fieldwright.app.outside.OutsideText;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** {@code outside-iron SURVEY --since EARLIER --magnet M.yaml}. */
@picocli.CommandLine.Command
final class OutsideIronCommand implements Callable<Integer> {
  private final Output output;

  @Parameters(index = "0", paramLabel = "SURVEY", description = "Survey that may be disturbed.")
  private Path survey = Path.of("");

  @Option(
      names = "--since",
      paramLabel = "EARLIER",
      description = "Survey of the same magnet without the disturbance; by far the better way.")
  private @Nullable Path since;

  @Option(names = "--magnet", required = true, paramLabel = "M.yaml", description = "Magnet file.")
  private Path magnet = Path.of("");

  @Option(
      names = "--degree",
      paramLabel = "N",
      description =
          "Degree of the harmonics left free beside the iron; by default the evidence says.")
  private @Nullable Integer degree;

  @Option(names = "--json", description = "Answer with one JSON document.")
  private boolean json;

  OutsideIronCommand(Output output) {
    this.output = output;
  }

  @Override
  public Integer call() {
    VettingChoices.requireDegree(degree);
    OutsideAnswer answer = look();
    if (json) {
      answer.warnings().forEach(output::note);
      output.answer(OutsideJson.of(answer));
    } else {
      output.answer(OutsideText.of(answer));
    }
    return ExitStatus.DONE;
  }

  private OutsideAnswer look() {
    try (TerminalProgress progress = new TerminalProgress(output, Double.POSITIVE_INFINITY)) {
      return new OutsideService(new AssessService(Clock.systemUTC()))
          .look(survey, since, magnet, degree, progress);
    }
  }
}
