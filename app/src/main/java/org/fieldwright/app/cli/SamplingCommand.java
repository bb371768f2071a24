package org.fieldwright.app.cli;

import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.Callable;
import org.fieldwright.app.sampling.SamplingJson;
import org.fieldwright.app.sampling.SamplingService;
import org.fieldwright.core.BadInput;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Option;

/** {@code sampling --magnet M.yaml}. */
@picocli.CommandLine.Command
final class SamplingCommand implements Callable<Integer> {
  private final Output output;

  @Option(names = "--magnet", required = true, paramLabel = "M.yaml", description = "Magnet file.")
  private Path magnet = Path.of("");

  @Option(
      names = "--angles",
      split = ",",
      arity = "1..*",
      paramLabel = "N",
      description = "Candidate numbers of equal angles; default 8 12 16 20 24 32 36 48.")
  private List<Integer> angles = List.of(8, 12, 16, 20, 24, 32, 36, 48);

  @Option(
      names = "--start-deg",
      paramLabel = "DEG",
      description = "First angle; half a step shows the other phase of order N/2.")
  private double startDeg;

  @Option(
      names = "--degree",
      paramLabel = "N",
      description = "Highest degree of interest; default 12.")
  private int degree = 12;

  @Option(
      names = "--expected-ppm",
      paramLabel = "P",
      description =
          "Peak-to-peak expected over the array's sphere; default 300. Position and angle errors"
              + " act through it.")
  private double expectedPpm = 300;

  @Option(
      names = "--seconds-per-angle",
      paramLabel = "S",
      description = "Time for one setting; default 40.")
  private double secondsPerAngle = 40;

  @Option(
      names = "--want-ppm",
      paramLabel = "U",
      description = "Largest standard uncertainty of a homogeneity limit that will do.")
  private @Nullable Double wantPpm;

  @Option(names = "--json", description = "Answer with one JSON document.")
  private boolean json;

  SamplingCommand(Output output) {
    this.output = output;
  }

  @Override
  public Integer call() {
    if (degree < 1 || degree > 60) {
      throw new BadInput("--degree: found " + degree + "; a degree is 1 to 60");
    }
    if (!(expectedPpm > 0) || !(secondsPerAngle > 0)) {
      throw new BadInput("--expected-ppm and --seconds-per-angle must be positive");
    }
    if (angles.stream().anyMatch(n -> n < 3 || n > 720)) {
      throw new BadInput("--angles: found " + angles + "; each is 3 to 720");
    }
    SamplingService.Answer answer =
        SamplingService.forecast(
            magnet,
            new SamplingService.Question(
                angles, startDeg, degree, expectedPpm, secondsPerAngle, wantPpm));
    if (json) {
      answer.warnings().forEach(output::note);
      output.answer(SamplingJson.of(answer));
    } else {
      output.answer(SamplingJson.text(answer));
    }
    return ExitStatus.DONE;
  }
}
