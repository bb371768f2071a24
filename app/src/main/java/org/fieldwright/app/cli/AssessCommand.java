package org.fieldwright.app.cli;

import java.nio.file.Path;
import java.time.Clock;
import java.util.Set;
import java.util.concurrent.Callable;
import org.fieldwright.app.assess.AssessService;
import org.fieldwright.app.assess.Assessment;
import org.fieldwright.app.assess.AssessmentJson;
import org.fieldwright.app.assess.AssessmentText;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.harmonic.Normalisation;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** {@code assess SURVEY --magnet M.yaml}. */
@picocli.CommandLine.Command
final class AssessCommand implements Callable<Integer> {
  private static final int HIGHEST_DEGREE = 60;

  private final Output output;

  @Parameters(paramLabel = "SURVEY", description = "Readings, .csv or .xlsx.")
  private Path survey = Path.of("");

  @Option(names = "--magnet", required = true, paramLabel = "M.yaml", description = "Magnet file.")
  private Path magnet = Path.of("");

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
    if (degree != null && (degree < 1 || degree > HIGHEST_DEGREE)) {
      throw new BadInput(
          "--degree: found %d; a degree is 1 to %d".formatted(degree, HIGHEST_DEGREE));
    }
    Normalisation written = normalisation();
    Assessment assessment =
        new AssessService(Clock.systemUTC())
            .assess(survey, magnet, new AssessService.Options(degree, leaveOut, keep, earlier));
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
