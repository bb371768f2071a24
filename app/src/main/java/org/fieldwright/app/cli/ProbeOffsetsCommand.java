package org.fieldwright.app.cli;

import java.nio.file.Path;
import java.util.concurrent.Callable;
import org.fieldwright.app.offsets.ProbeOffsetAnswer;
import org.fieldwright.app.offsets.ProbeOffsetService;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** {@code probe-offsets READINGS --magnet M.yaml}. */
@picocli.CommandLine.Command
final class ProbeOffsetsCommand implements Callable<Integer> {
  private final Output output;

  @Parameters(
      paramLabel = "READINGS",
      description = "Field log with a probe column: every probe in turn at one place.")
  private Path readings = Path.of("");

  @Option(names = "--magnet", required = true, paramLabel = "M.yaml", description = "Magnet file.")
  private Path magnet = Path.of("");

  @Option(
      names = "--write",
      description = "Put the offsets into the magnet file; everything else in it stays.")
  private boolean write;

  @Option(names = "--json", description = "Answer with one JSON document.")
  private boolean json;

  ProbeOffsetsCommand(Output output) {
    this.output = output;
  }

  @Override
  public Integer call() {
    ProbeOffsetAnswer answer = ProbeOffsetService.check(readings, magnet, write);
    if (json) {
      output.answer(answer.json());
    } else {
      output.answer(answer.text());
    }
    return ExitStatus.DONE;
  }
}
