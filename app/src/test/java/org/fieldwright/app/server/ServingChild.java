package org.fieldwright.app.server;

import java.nio.file.Path;
import java.time.Clock;
import java.time.ZoneOffset;

/** A server that goes on until it is killed. */
final class ServingChild {
  private ServingChild() {}

  /** Arguments: the data directory. Says its port. */
  public static void main(String[] args) throws Exception {
    LocalServer server =
        new LocalServer(Path.of(args[0]), null, Clock.systemUTC(), ZoneOffset.UTC, 0);
    System.out.println(server.port());
    System.out.flush();
    Thread.sleep(Long.MAX_VALUE);
  }
}
