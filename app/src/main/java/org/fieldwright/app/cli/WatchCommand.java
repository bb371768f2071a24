package org.fieldwright.app.cli;

import java.nio.file.Path;
import java.util.concurrent.Callable;
import org.fieldwright.app.watch.WatchJson;
import org.fieldwright.app.watch.WatchService;
import org.fieldwright.app.watch.WatchText;
import org.fieldwright.app.watch.Watched;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** {@code watch LOG [--magnet M.yaml]}. */
@picocli.CommandLine.Command
final class WatchCommand implements Callable<Integer> {
  private final Output output;

  @Parameters(paramLabel = "LOG", description = "Field against time, .csv or .xlsx.")
  private Path log = Path.of("");

  @Option(
      names = "--magnet",
      paramLabel = "M.yaml",
      description = "Magnet file: its sample, nominal field and drift limits.")
  private @Nullable Path magnet;

  @Option(
      names = "--probe",
      paramLabel = "N",
      description = "Whose samples count, in a log of several probes.")
  private @Nullable Integer probe;

  @Option(names = "--json", description = "Answer with one JSON document.")
  private boolean json;

  @Option(names = "--gate", description = "Exit 3 unless every limit on drift is met.")
  private boolean gate;

  WatchCommand(Output output) {
    this.output = output;
  }

  @Override
  public Integer call() {
    Watched watched = new WatchService().watch(log, magnet, probe);
    if (json) {
      watched.report().warnings().forEach(output::note);
      output.answer(WatchJson.of(watched));
    } else {
      output.answer(WatchText.of(watched));
    }
    return gate && !watched.allMet() ? ExitStatus.LIMIT_NOT_MET : ExitStatus.DONE;
  }
}
