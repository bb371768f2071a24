package org.fieldwright.app.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Clock;
import java.time.ZoneId;
import java.util.concurrent.Callable;
import java.util.concurrent.CountDownLatch;
import java.util.regex.Pattern;
import org.fieldwright.app.server.LocalServer;
import org.fieldwright.core.BadInput;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Option;

/** {@code serve [--port P] [--data DIR] [--store ADDRESS]}. */
@picocli.CommandLine.Command
final class ServeCommand implements Callable<Integer> {
  private static final int HIGHEST_PORT = 65_535;
  private static final Pattern SECRET =
      Pattern.compile("[?&](ssl)?password=", Pattern.CASE_INSENSITIVE);

  private final Output output;

  @Option(names = "--port", paramLabel = "P", description = "Default 8055; 0 takes a free one.")
  private int port = 8055;

  @Option(
      names = "--data",
      paramLabel = "DIR",
      description = "Where magnets are kept; default $XDG_DATA_HOME/fieldwright.")
  private @Nullable Path data;

  @Option(
      names = "--store",
      paramLabel = "ADDRESS",
      description =
          "A PostgreSQL database that several servers share,"
              + " jdbc:postgresql://HOST/DATABASE?user=NAME; the password in ~/.pgpass. Default: a"
              + " database of its own in DIR.")
  private @Nullable String store;

  ServeCommand(Output output) {
    this.output = output;
  }

  @Override
  public Integer call() throws IOException, InterruptedException {
    if (port < 0 || port > HIGHEST_PORT) {
      throw new BadInput("--port: found %d; a port is 0 to %d".formatted(port, HIGHEST_PORT));
    }
    if (store != null && SECRET.matcher(store).find()) {
      throw new BadInput(
          "--store: found a password; everybody on this machine can read a command line. Leave it"
              + " out and put a line HOST:5432:DATABASE:NAME:PASSWORD into ~/.pgpass, readable by"
              + " you alone");
    }
    Path folder = data == null ? userData() : data;
    LocalServer server =
        new LocalServer(folder, store, Clock.systemUTC(), ZoneId.systemDefault(), port);
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
