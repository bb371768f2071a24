package org.fieldwright.adapters.instrument.simulated;

import java.io.Closeable;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.concurrent.TimeUnit;

/**
 * A pseudo-terminal that leads to the simulated reader, so that it can be read as over a serial
 * port. Needs the program socat; a terminal that was closed is opened anew under the same name.
 */
public final class SerialDoor implements Closeable {
  private static final int PATIENCE_MS = 5000;
  private static final int LOOK_EVERY_MS = 5;

  private final ProcessBuilder command;
  private Process process;
  private volatile boolean closed;

  /**
   * Opens the terminal.
   *
   * @param link the name it gets; must not exist
   * @param port of the simulated reader
   * @throws IOException if socat is not installed or makes no terminal of that name
   */
  public SerialDoor(Path link, int port) throws IOException {
    command =
        new ProcessBuilder(
                "socat", "PTY,raw,echo=0,wait-slave,link=" + link, "TCP:localhost:" + port)
            .redirectErrorStream(true)
            .redirectOutput(ProcessBuilder.Redirect.DISCARD);
    process = start();
    awaitTerminal(link);
    Thread thread = new Thread(this::keepOpen, "simulated reader, serial");
    thread.setDaemon(true);
    thread.start();
  }

  private Process start() throws IOException {
    try {
      return command.start();
    } catch (IOException e) {
      throw new IOException("--serial needs the program socat: " + e.getMessage(), e);
    }
  }

  /** Who is told the name opens it at once; socat takes a moment to make it. */
  private void awaitTerminal(Path link) throws IOException {
    try {
      for (int waited = 0; !Files.exists(link); waited += LOOK_EVERY_MS) {
        if (waited >= PATIENCE_MS || process.waitFor(LOOK_EVERY_MS, TimeUnit.MILLISECONDS)) {
          process.destroy();
          throw new IOException("--serial: socat made no terminal " + link);
        }
      }
    } catch (InterruptedException e) {
      process.destroy();
      Thread.currentThread().interrupt();
      throw new IOException("interrupted while waiting for the terminal " + link, e);
    }
  }

  private void keepOpen() {
    try {
      while (!closed) {
        process.waitFor();
        TimeUnit.MILLISECONDS.sleep(50);
        restart();
      }
    } catch (IOException e) {
      closed = true; // socat is gone: nothing to answer with
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  private synchronized void restart() throws IOException {
    if (!closed) {
      process = start();
    }
  }

  @Override
  public synchronized void close() {
    closed = true;
    process.destroy();
  }
}
