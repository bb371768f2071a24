package org.fieldwright.app.server;

import com.sun.net.httpserver.HttpExchange;
import com.sun.net.httpserver.HttpServer;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.net.URI;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.time.Clock;
import java.time.ZoneId;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.zip.GZIPOutputStream;
import org.fieldwright.app.notebook.NotebookService;
import org.fieldwright.core.BadInput;
import org.jspecify.annotations.Nullable;

/**
 * The HTTP server. For one person it listens on loopback and nowhere else; for a team it knows who
 * asks. It answers only requests that name it as their host and, where a page sends them, come from
 * its own page ({@link Gate}). Errors are problem documents as in RFC 9457.
 */
public final class LocalServer implements AutoCloseable {
  /** Largest file taken, bytes; a survey of 10,000 readings is below one MB. */
  static final int LARGEST = 16 << 20;

  private static final int LARGEST_OF_UNKNOWN = 4096;

  /** As many clients may be slow, or watch a search or a survey, without keeping others waiting. */
  private static final int THREADS = 200;

  static {
    // Seconds for a request to arrive and its answer to leave; the platform knows no other way.
    System.setProperty("sun.net.httpserver.maxReqTime", "30");
    System.setProperty("sun.net.httpserver.maxRspTime", "7200"); // a search is watched to its end
    System.setProperty("sun.net.httpserver.nodelay", "true");
  }

  private static final int WORTH_PACKING = 1400; // less fits one packet anyway
  private static final int BACKLOG = 1024; // connections waiting to be taken
  private static final String POLICY =
      "default-src 'self'; img-src 'self' data: blob:; object-src 'none'; base-uri 'none';"
          + " form-action 'self'; frame-ancestors 'none'";

  private final HttpServer http;
  private final ExecutorService workers = Executors.newFixedThreadPool(THREADS);
  private final Desk desk;
  private final Routes routes;
  private final Gate gate;

  /** Starts listening for one person on this machine; port 0 = any free one. */
  public LocalServer(Path data, @Nullable String store, Clock clock, ZoneId zone, int port)
      throws IOException {
    this(data, store, clock, zone, Reach.loopback(port));
  }

  /**
   * Starts listening.
   *
   * @param data the user's data directory
   * @param store address of a database that a team shares; null = the one in {@code data}
   */
  public LocalServer(Path data, @Nullable String store, Clock clock, ZoneId zone, Reach reach)
      throws IOException {
    NotebookService notebook = NotebookService.open(data, store, clock);
    desk = Desk.over(notebook, data, clock, zone);
    routes = new Routes(desk);
    boolean isTeam = reach.origin() != null;
    if (isTeam && !desk.signIns().hasSomebody()) {
      notebook.close();
      throw new BadInput(
          "the store has no account, so nobody could come in: `fieldwright account add NAME` makes one");
    }
    http = HttpServer.create(reach.at(), BACKLOG);
    gate = new Gate(reach, port(), isTeam ? desk.signIns() : null);
    http.setExecutor(workers);
    http.createContext("/", this::serve);
    http.start();
  }

  public int port() {
    return http.getAddress().getPort();
  }

  /** Takes no more requests, and lets those under way end for a second. */
  @Override
  public void close() {
    desk.plans().close();
    desk.outside().close();
    desk.readers().close();
    http.stop(1);
    workers.shutdown();
    desk.notebook().close();
  }

  private void serve(HttpExchange exchange) throws IOException {
    try (exchange) {
      send(exchange, answer(exchange));
    }
  }

  private Answer answer(HttpExchange exchange) throws IOException {
    String method = exchange.getRequestMethod();
    URI uri = exchange.getRequestURI();
    if (!gate.isOurs(method, String.valueOf(uri.getPath()), exchange.getRequestHeaders())) {
      return Answer.problem(403, "Refused", "this server answers only its own page");
    }
    try {
      Visitor who = gate.visitor(exchange.getRequestHeaders());
      return routes.answer(method, uri, who, () -> body(exchange, who), match(exchange));
    } catch (BadInput e) {
      return Answer.problem(
          422,
          "The input cannot be used",
          desk.notebook().withoutPlace(String.valueOf(e.getMessage())));
    } catch (TooLarge e) {
      return Answer.problem(413, "Too large", String.valueOf(e.getMessage()));
    } catch (NotebookService.Changed e) {
      return Answer.problem(412, "Changed meanwhile", String.valueOf(e.getMessage()));
    } catch (NotebookService.Unreachable e) {
      return Answer.problem(503, "The store does not answer", String.valueOf(e.getMessage()));
    } catch (NoSuchFileException e) {
      return Answer.problem(404, "Not found", "there is no " + e.getMessage());
    } catch (IOException e) { // a full disk, a file that is locked: nobody's mistake
      return Answer.problem(
          500,
          "Reading or writing failed",
          "the machine that serves could not read or write a file: "
              + e.getClass().getSimpleName());
    } catch (OutOfMemoryError e) {
      return Answer.problem(
          500, "Out of memory", "this was too much for the machine that serves; others go on");
    } catch (RuntimeException | StackOverflowError | LinkageError | AssertionError e) {
      return Answer.problem(500, "A fault of the program", e.getClass().getSimpleName());
    }
  }

  private static final class TooLarge extends IOException {
    private static final long serialVersionUID = 1L;

    TooLarge(int most) {
      super("a request may have %d bytes".formatted(most));
    }
  }

  /** Whoever is unknown has a name and a password to send, and nothing larger. */
  private static byte[] body(HttpExchange exchange, Visitor who) throws IOException {
    int most = who.role() == null ? LARGEST_OF_UNKNOWN : LARGEST;
    byte[] body = exchange.getRequestBody().readNBytes(most + 1);
    if (body.length > most) {
      throw new TooLarge(most);
    }
    return body;
  }

  private static @Nullable String match(HttpExchange exchange) {
    String tag = exchange.getRequestHeaders().getFirst("If-Match");
    return tag == null ? null : tag.replace("\"", "");
  }

  private static void send(HttpExchange exchange, Answer answer) throws IOException {
    var headers = exchange.getResponseHeaders();
    headers.set("Content-Type", answer.type());
    headers.set("Content-Security-Policy", POLICY);
    headers.set("X-Content-Type-Options", "nosniff");
    headers.set("Cross-Origin-Resource-Policy", "same-origin");
    headers.set("Referrer-Policy", "no-referrer");
    headers.set("Cache-Control", "no-store");
    answer.headers().forEach(headers::set);
    if (answer.tag() != null) {
      headers.set("ETag", '"' + answer.tag() + '"');
    }
    if (exchange.getRequestMethod().equals("HEAD")) {
      exchange.sendResponseHeaders(answer.status(), -1);
    } else if (answer.live() != null) {
      exchange.sendResponseHeaders(answer.status(), 0);
      answer.live().speak(exchange.getResponseBody());
    } else {
      byte[] body = packed(exchange, answer);
      exchange.sendResponseHeaders(answer.status(), body.length == 0 ? -1 : body.length);
      exchange.getResponseBody().write(body);
    }
  }

  /** Text goes out packed where the other end can unpack it. */
  private static byte[] packed(HttpExchange exchange, Answer answer) throws IOException {
    String accepted = exchange.getRequestHeaders().getFirst("Accept-Encoding");
    boolean text = answer.type().startsWith("text/") || answer.type().contains("json");
    if (accepted == null
        || !accepted.contains("gzip")
        || !text
        || answer.body().length < WORTH_PACKING) {
      return answer.body();
    }
    exchange.getResponseHeaders().set("Content-Encoding", "gzip");
    ByteArrayOutputStream packed = new ByteArrayOutputStream(answer.body().length / 4);
    try (GZIPOutputStream gzip = new GZIPOutputStream(packed)) {
      gzip.write(answer.body());
    }
    return packed.toByteArray();
  }
}
