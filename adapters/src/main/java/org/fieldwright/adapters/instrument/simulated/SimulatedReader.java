package org.fieldwright.adapters.instrument.simulated;

import java.io.BufferedInputStream;
import java.io.ByteArrayOutputStream;
import java.io.Closeable;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.util.Objects;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.TimeUnit;
import org.fieldwright.adapters.instrument.Crc16;
import org.fieldwright.core.simulation.ReaderConditions;
import org.fieldwright.core.simulation.Scenario;
import org.fieldwright.core.simulation.SimulatedProbes;
import org.jspecify.annotations.Nullable;

/**
 * Answers lines on a TCP port of this machine as docs/formats/simulated-reader.md says. Several
 * connections share the one reader. A line that ends in a checksum is answered with one.
 */
public final class SimulatedReader implements Closeable {
  /** Name of its profile. */
  public static final String PROFILE = "simulated-reader.yaml";

  private static final int USUAL_PORT = 5055;
  private static final int LONGEST_LINE = 1 << 12;

  private final ReaderCommands commands;
  private final ReaderConditions conditions;
  private final Mischief mischief;
  private final ServerSocket server = new ServerSocket();
  private final Thread accepting;
  private final Set<Socket> open = ConcurrentHashMap.newKeySet();

  /**
   * Starts answering.
   *
   * @param port 0 takes a free one
   * @param version of this program, for the identification
   */
  public SimulatedReader(Scenario scenario, ReaderConditions conditions, int port, String version)
      throws IOException {
    String serial = scenario.name().replaceAll("[^A-Za-z0-9 ._-]", "-");
    commands =
        new ReaderCommands(
            new SimulatedProbes(scenario, conditions),
            scenario.magnet().array(),
            "Fieldwright,Simulated reader," + serial + "," + version);
    this.conditions = conditions;
    mischief = new Mischief(conditions, scenario.seed());
    server.setReuseAddress(true);
    server.bind(new InetSocketAddress(InetAddress.getLoopbackAddress(), port));
    accepting = start(this::acceptAll, "simulated reader");
  }

  private static Thread start(Runnable task, String name) {
    Thread thread = new Thread(task, name);
    thread.setDaemon(true);
    thread.start();
    return thread;
  }

  /** The profile by which it is spoken to. */
  public String profile() throws IOException {
    try (InputStream in =
        Objects.requireNonNull(SimulatedReader.class.getResourceAsStream(PROFILE))) {
      return new String(in.readAllBytes(), StandardCharsets.UTF_8)
          .replace("port: " + USUAL_PORT, "port: " + port());
    }
  }

  public int port() {
    return server.getLocalPort();
  }

  /** How many answers were cut, garbled or late so far. */
  public int faults() {
    return mischief.count();
  }

  private void acceptAll() {
    while (!server.isClosed()) {
      try {
        Socket socket = server.accept();
        open.add(socket);
        start(() -> serve(socket), "simulated reader, connection");
      } catch (IOException e) {
        return; // closed
      }
    }
  }

  private void serve(Socket socket) {
    try (socket) {
      socket.setTcpNoDelay(true);
      InputStream in = new BufferedInputStream(socket.getInputStream());
      for (String line = line(in); line != null; line = line(in)) {
        if (!answer(line, socket.getOutputStream())) {
          return;
        }
      }
    } catch (IOException e) {
      // The other side went away; it will come again.
    } finally {
      open.remove(socket);
    }
  }

  /** The next line; null at the end, or where a line has none. */
  private static @Nullable String line(InputStream in) throws IOException {
    ByteArrayOutputStream line = new ByteArrayOutputStream();
    for (int b = in.read(); b >= 0; b = in.read()) {
      if (b == '\n') {
        return line.toString(StandardCharsets.ISO_8859_1).strip();
      }
      line.write(b);
      if (line.size() > LONGEST_LINE) {
        return null;
      }
    }
    return null;
  }

  /** Answers a line; false if the connection is to be cut. */
  private boolean answer(String line, OutputStream out) throws IOException {
    boolean guarded = line.matches(".*\\*[0-9A-F]{4}");
    String command = guarded ? Crc16.unguarded(line) : line;
    if (command == null) {
      commands.damaged();
      return true;
    }
    String answer = commands.run(command);
    if (answer == null) {
      return true;
    }
    String text = guarded ? Crc16.guarded(answer) : answer;
    switch (mischief.next()) {
      case CUT -> {
        return false;
      }
      case GARBLED -> text = mischief.garble(text);
      case LATE -> wait(conditions.lateSeconds());
      case ARRIVES -> {}
    }
    out.write((text + "\n").getBytes(StandardCharsets.ISO_8859_1));
    return true;
  }

  private static void wait(double seconds) throws IOException {
    try {
      TimeUnit.NANOSECONDS.sleep(Math.round(seconds * 1e9));
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new IOException("interrupted", e);
    }
  }

  @Override
  public void close() throws IOException {
    server.close();
    try {
      accepting.join(); // until then the port still takes a connection
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
    for (Socket socket : open) {
      socket.close();
    }
  }
}
