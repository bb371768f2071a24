package org.fieldwright.app.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Clock;
import java.time.ZoneId;
import java.util.concurrent.Callable;
import java.util.function.Function;
import org.fieldwright.app.demo.DemoService;
import org.fieldwright.app.demo.Narrator;
import org.fieldwright.core.Progress;
import org.fieldwright.core.correction.Plan;
import picocli.CommandLine.Option;

/** {@code demo [--out DIR]}. */
@picocli.CommandLine.Command
final class DemoCommand implements Callable<Integer>, Narrator {
  private static final double SEARCH_SECONDS = 10;

  private final Output output;

  @Option(
      names = "--out",
      paramLabel = "DIR",
      description = "Where to write; default ./fieldwright-demo.")
  private Path out = Path.of("fieldwright-demo");

  DemoCommand(Output output) {
    this.output = output;
  }

  @Override
  public Integer call() throws IOException {
    DemoService.Outcome outcome =
        new DemoService(Clock.systemUTC(), ZoneId.systemDefault()).run(out, this);
    output.answer(outcome.report().toAbsolutePath().normalize().toString());
    return ExitStatus.DONE;
  }

  @Override
  public void say(String line) {
    output.note(line);
  }

  @Override
  public Plan watch(Function<Progress, Plan> search) {
    try (TerminalProgress progress = new TerminalProgress(output, SEARCH_SECONDS)) {
      return search.apply(progress);
    }
  }
}
