package org.fieldwright.app.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.util.concurrent.Callable;
import java.util.concurrent.CountDownLatch;
import org.fieldwright.app.simulate.ReaderService;
import org.fieldwright.core.BadInput;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Option;

/** {@code reader --scenario S.yaml}. */
@picocli.CommandLine.Command
final class ReaderCommand implements Callable<Integer> {
  private static final int HIGHEST_PORT = 65_535;

  private final Output output;

  @Option(
      names = "--scenario",
      required = true,
      paramLabel = "S.yaml",
      description = "Virtual magnet, array and reader.")
  private Path scenario = Path.of("");

  @Option(names = "--port", paramLabel = "P", description = "Default 5055; 0 takes a free one.")
  private int port = 5055;

  @Option(
      names = "--serial",
      paramLabel = "NAME",
      description = "Answer as a serial port of this name as well; needs socat.")
  private @Nullable Path serial;

  ReaderCommand(Output output) {
    this.output = output;
  }

  @Override
  public Integer call() throws IOException, InterruptedException {
    if (port < 0 || port > HIGHEST_PORT) {
      throw new BadInput("--port: found %d; a port is 0 to %d".formatted(port, HIGHEST_PORT));
    }
    ReaderService reader = new ReaderService(scenario, port, serial);
    Runtime.getRuntime().addShutdownHook(new Thread(() -> close(reader)));
    output.note(
        "The simulated reader answers at localhost:%d%s; Ctrl-C ends it."
            .formatted(reader.port(), serial == null ? "" : " and " + serial));
    new CountDownLatch(1).await();
    return ExitStatus.DONE;
  }

  private static void close(ReaderService reader) {
    try {
      reader.close();
    } catch (IOException e) {
      // The process ends anyway.
    }
  }
}
