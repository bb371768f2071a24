package org.fieldwright.app.cli;

import java.nio.file.Path;
import java.time.Clock;
import java.util.concurrent.Callable;
import org.fieldwright.app.assess.AssessService;
import org.fieldwright.app.compare.CompareService;
import org.fieldwright.app.compare.Comparison;
import org.fieldwright.app.compare.ComparisonJson;
import org.fieldwright.app.compare.ComparisonText;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** {@code compare BEFORE AFTER --magnet M.yaml}. */
@picocli.CommandLine.Command
final class CompareCommand implements Callable<Integer> {
  private final Output output;

  @Parameters(index = "0", paramLabel = "BEFORE", description = "The earlier survey.")
  private Path before = Path.of("");

  @Parameters(index = "1", paramLabel = "AFTER", description = "The later survey.")
  private Path after = Path.of("");

  @Option(names = "--magnet", required = true, paramLabel = "M.yaml", description = "Magnet file.")
  private Path magnet = Path.of("");

  @Option(
      names = "--loaded",
      paramLabel = "CHANGES.csv",
      description = "What was changed between them: predicted against found, strengths learned.")
  private @Nullable Path loaded;

  @Option(
      names = "--degree",
      paramLabel = "N",
      description = "Degree of both field models; by default each its own best.")
  private @Nullable Integer degree;

  @Option(
      names = "--write-strength",
      description = "Enter the strengths learned into the magnet file; needs --loaded.")
  private boolean writeStrength;

  @Option(names = "--json", description = "Answer with one JSON document.")
  private boolean json;

  CompareCommand(Output output) {
    this.output = output;
  }

  @Override
  public Integer call() {
    VettingChoices.requireDegree(degree);
    AssessService.Options options =
        new AssessService.Options(degree, java.util.Set.of(), java.util.Set.of(), null);
    Comparison comparison =
        new CompareService(new AssessService(Clock.systemUTC()))
            .compare(before, after, magnet, loaded, options);
    if (writeStrength) {
      CompareService.writeStrengths(magnet, comparison);
      output.note(magnet + ": iron.strength brought up to date");
    }
    if (json) {
      comparison.warnings().forEach(output::note);
      output.answer(ComparisonJson.of(comparison));
    } else {
      output.answer(ComparisonText.of(comparison));
    }
    return ExitStatus.DONE;
  }
}
