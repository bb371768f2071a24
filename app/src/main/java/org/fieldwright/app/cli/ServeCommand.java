package org.fieldwright.app.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Clock;
import java.time.ZoneId;
import java.util.concurrent.Callable;
import java.util.concurrent.CountDownLatch;
import org.fieldwright.app.server.LocalServer;
import org.fieldwright.core.BadInput;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Option;

/** {@code serve [--port P] [--data DIR]}. */
@picocli.CommandLine.Command
final class ServeCommand implements Callable<Integer> {
  private static final int HIGHEST_PORT = 65_535;

  private final Output output;

  @Option(names = "--port", paramLabel = "P", description = "Default 8055; 0 takes a free one.")
  private int port = 8055;

  @Option(
      names = "--data",
      paramLabel = "DIR",
      description = "Where magnets are kept; default $XDG_DATA_HOME/fieldwright.")
  private @Nullable Path data;

  ServeCommand(Output output) {
    this.output = output;
  }

  @Override
  public Integer call() throws IOException, InterruptedException {
    if (port < 0 || port > HIGHEST_PORT) {
      throw new BadInput("--port: found %d; a port is 0 to %d".formatted(port, HIGHEST_PORT));
    }
    Path folder = data == null ? userData() : data;
    LocalServer server = new LocalServer(folder, Clock.systemUTC(), ZoneId.systemDefault(), port);
    Runtime.getRuntime().addShutdownHook(new Thread(server::close));
    output.note("Listening on http://localhost:" + server.port() + "/ ; Ctrl-C ends it.");
    output.note("Magnets are kept in " + folder.toAbsolutePath());
    new CountDownLatch(1).await();
    return ExitStatus.DONE;
  }

  private static Path userData() {
    String xdg = System.getenv("XDG_DATA_HOME");
    Path base =
        xdg == null || xdg.isEmpty()
            ? Path.of(System.getProperty("user.home"), ".local", "share")
            : Path.of(xdg);
    return base.resolve("fieldwright");
  }
}
