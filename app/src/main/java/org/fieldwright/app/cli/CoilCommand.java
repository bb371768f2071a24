package org.fieldwright.app.cli;

import java.nio.file.Path;
import java.time.Clock;
import java.util.concurrent.Callable;
import org.fieldwright.app.assess.AssessService;
import org.fieldwright.app.correct.CoilResponseAnswer;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.correction.CoilResponse;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** {@code coil ON OFF --magnet M.yaml --id ID --amperes A}. */
@picocli.CommandLine.Command
final class CoilCommand implements Callable<Integer> {
  private final Output output;

  @Parameters(index = "0", paramLabel = "ON", description = "Readings with the coil on.")
  private Path on = Path.of("");

  @Parameters(index = "1", paramLabel = "OFF", description = "Readings with the coil off.")
  private Path off = Path.of("");

  @Option(names = "--magnet", required = true, paramLabel = "M.yaml", description = "Magnet file.")
  private Path magnet = Path.of("");

  @Option(names = "--id", required = true, paramLabel = "ID", description = "Of the coil.")
  private String id = "";

  @Option(
      names = "--amperes",
      required = true,
      paramLabel = "A",
      description = "Current on less current off.")
  private double amperes;

  @Mixin private VettingChoices vetting = new VettingChoices();

  @Option(names = "--json", description = "Answer with one JSON document.")
  private boolean json;

  CoilCommand(Output output) {
    this.output = output;
  }

  @Override
  public Integer call() throws java.io.IOException {
    if (amperes == 0 || !Double.isFinite(amperes)) {
      throw new BadInput("--amperes: found " + amperes + "; a current other than 0");
    }
    AssessService service = new AssessService(Clock.systemUTC());
    CoilResponse response =
        CoilResponse.of(
            service.assess(on, magnet, vetting.options(null)).model(),
            service.assess(off, magnet, vetting.options(null)).model(),
            amperes);
    CoilResponseAnswer answer = new CoilResponseAnswer(id, amperes, response);
    if (json) {
      output.answer(answer.json());
    } else {
      output.answer(answer.yaml());
    }
    return ExitStatus.DONE;
  }
}
