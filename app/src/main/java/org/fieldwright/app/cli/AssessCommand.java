package org.fieldwright.app.cli;

import java.nio.file.Path;
import java.time.Clock;
import java.util.concurrent.Callable;
import org.fieldwright.app.assess.AssessService;
import org.fieldwright.app.assess.Assessment;
import org.fieldwright.app.assess.AssessmentJson;
import org.fieldwright.app.assess.AssessmentText;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.harmonic.Normalisation;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** {@code assess SURVEY --magnet M.yaml}. */
@picocli.CommandLine.Command
final class AssessCommand implements Callable<Integer> {
  private final Output output;

  @Parameters(paramLabel = "SURVEY", description = "Readings, .csv or .xlsx.")
  private Path survey = Path.of("");

  @Option(names = "--magnet", required = true, paramLabel = "M.yaml", description = "Magnet file.")
  private Path magnet = Path.of("");

  @Mixin private VettingChoices vetting = new VettingChoices();

  @Option(
      names = "--earlier",
      paramLabel = "SURVEY",
      description =
          "An earlier survey of the same magnet in the same state: says how the array was moved,"
              + " turned or handled since.")
  private @Nullable Path earlier;

  @Option(
      names = "--normalisation",
      paramLabel = "NAME",
      description =
          "Of the coefficients in the JSON: schmidt (default), unnormalised, orthonormal.")
  private String normalisation = Normalisation.SCHMIDT.id();

  @Option(names = "--json", description = "Answer with one JSON document.")
  private boolean json;

  @Option(names = "--gate", description = "Exit 3 unless every limit on homogeneity is met.")
  private boolean gate;

  AssessCommand(Output output) {
    this.output = output;
  }

  @Override
  public Integer call() {
    Normalisation written = normalisation();
    Assessment assessment =
        new AssessService(Clock.systemUTC()).assess(survey, magnet, vetting.options(earlier));
    if (json) {
      assessment.warnings().forEach(output::note);
      output.answer(AssessmentJson.of(assessment, written));
    } else {
      output.answer(AssessmentText.of(assessment));
    }
    return gate && !assessment.allMet() ? ExitStatus.LIMIT_NOT_MET : ExitStatus.DONE;
  }

  private Normalisation normalisation() {
    for (Normalisation n : Normalisation.values()) {
      if (n.id().equals(normalisation)) {
        return n;
      }
    }
    throw new BadInput(
        "--normalisation: found '%s'; known are schmidt, unnormalised, orthonormal"
            .formatted(normalisation));
  }
}
