package org.fieldwright.app.cli;

import java.io.IOException;
import java.time.Clock;
import java.time.ZoneId;
import java.util.concurrent.Callable;
import java.util.concurrent.CountDownLatch;
import org.fieldwright.app.server.LocalServer;
import org.fieldwright.app.server.Reach;
import org.fieldwright.core.BadInput;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/**
 * {@code serve [--port P] [--team https://NAME [--listen ADDRESS]] [--data DIR] [--store ADDRESS]}.
 */
@picocli.CommandLine.Command
final class ServeCommand implements Callable<Integer> {
  private static final int HIGHEST_PORT = 65_535;

  private final Output output;

  @Option(names = "--port", paramLabel = "P", description = "Default 8055; 0 takes a free one.")
  private int port = 8055;

  @Option(
      names = "--team",
      paramLabel = "https://NAME",
      description =
          "The address at which a team reaches this server, through a proxy that speaks TLS."
              + " Everybody signs in; `account` says who may. Default: this machine alone, and"
              + " nobody signs in.")
  private @Nullable String team;

  @Option(
      names = "--listen",
      paramLabel = "ADDRESS",
      description =
          "With --team, where to listen if the proxy is on another machine; default loopback.")
  private @Nullable String listen;

  @Mixin private StoreOptions kept = new StoreOptions();

  ServeCommand(Output output) {
    this.output = output;
  }

  @Override
  public Integer call() throws IOException, InterruptedException {
    if (port < 0 || port > HIGHEST_PORT) {
      throw new BadInput("--port: found %d; a port is 0 to %d".formatted(port, HIGHEST_PORT));
    }
    if (team == null && listen != null) {
      throw new BadInput(
          "--listen: found '%s' without --team; whoever is reached by others must know who asks"
              .formatted(listen));
    }
    LocalServer server = start();
    Runtime.getRuntime().addShutdownHook(new Thread(server::close));
    output.note(
        team == null
            ? "Listening on http://localhost:" + server.port() + "/ ; Ctrl-C ends it."
            : "Listening on port %d for what comes through %s ; Ctrl-C ends it."
                .formatted(server.port(), team));
    output.note("Magnets are kept in " + kept.data().toAbsolutePath());
    new CountDownLatch(1).await();
    return ExitStatus.DONE;
  }

  private LocalServer start() throws IOException {
    Clock clock = Clock.systemUTC();
    ZoneId zone = ZoneId.systemDefault();
    return team == null
        ? new LocalServer(kept.data(), kept.store(), clock, zone, port)
        : new LocalServer(kept.data(), kept.store(), clock, zone, Reach.team(team, listen, port));
  }
}
