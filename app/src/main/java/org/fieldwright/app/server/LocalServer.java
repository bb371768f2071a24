package org.fieldwright.app.server;

import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import com.sun.net.httpserver.HttpExchange;
import com.sun.net.httpserver.HttpServer;
import java.io.IOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.nio.charset.StandardCharsets;
import java.nio.file.NoSuchFileException;
import java.util.List;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import org.fieldwright.app.notebook.NotebookService;
import org.fieldwright.core.BadInput;
import org.jspecify.annotations.Nullable;

/**
 * The HTTP server. It listens on loopback and nowhere else, answers only requests that name this
 * machine as their host and, where a page sends them, come from its own page. Errors are problem
 * documents as in RFC 9457.
 */
public final class LocalServer implements AutoCloseable {
  /** Largest file taken, bytes; a survey of 10,000 readings is below one MB. */
  static final int LARGEST = 16 << 20;

  /** As many clients may be slow at once without keeping others waiting. */
  private static final int THREADS = 32;

  static {
    // Seconds for a request to arrive and its answer to leave; the platform knows no other way.
    System.setProperty("sun.net.httpserver.maxReqTime", "30");
    System.setProperty("sun.net.httpserver.maxRspTime", "60");
  }

  private static final int BACKLOG = 1024; // connections waiting to be taken
  private static final String POLICY =
      "default-src 'self'; object-src 'none'; base-uri 'none'; form-action 'self';"
          + " frame-ancestors 'none'";

  private final HttpServer http;
  private final ExecutorService workers = Executors.newFixedThreadPool(THREADS);
  private final Routes routes;

  /**
   * Starts listening.
   *
   * @param port 0 = any free one
   */
  public LocalServer(NotebookService notebook, int port) throws IOException {
    routes = new Routes(notebook);
    http =
        HttpServer.create(new InetSocketAddress(InetAddress.getLoopbackAddress(), port), BACKLOG);
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
    http.stop(1);
    workers.shutdown();
  }

  private void serve(HttpExchange exchange) throws IOException {
    try (exchange) {
      send(exchange, answer(exchange));
    }
  }

  private Answer answer(HttpExchange exchange) throws IOException {
    if (!isOurs(exchange)) {
      return problem(403, "Refused", "this server answers only its own page, on this machine");
    }
    try {
      byte[] body = exchange.getRequestBody().readNBytes(LARGEST + 1);
      if (body.length > LARGEST) {
        return problem(413, "Too large", "a file may have %d bytes".formatted(LARGEST));
      }
      return routes.answer(
          exchange.getRequestMethod(), exchange.getRequestURI(), body, match(exchange));
    } catch (BadInput e) {
      return problem(422, "The input cannot be used", String.valueOf(e.getMessage()));
    } catch (NotebookService.Changed e) {
      return problem(412, "Changed meanwhile", String.valueOf(e.getMessage()));
    } catch (NoSuchFileException e) {
      return problem(404, "Not found", "there is no " + e.getMessage());
    } catch (RuntimeException e) {
      return problem(500, "A fault of the program", e.getClass().getSimpleName());
    }
  }

  /** A page elsewhere that points its own name at this machine still sends that name as host. */
  private boolean isOurs(HttpExchange exchange) {
    List<String> hosts = List.of("localhost:" + port(), "127.0.0.1:" + port());
    String host = exchange.getRequestHeaders().getFirst("Host");
    String origin = exchange.getRequestHeaders().getFirst("Origin");
    return host != null
        && hosts.contains(host)
        && (origin == null || origin.equals("http://" + host));
  }

  private static @Nullable String match(HttpExchange exchange) {
    String tag = exchange.getRequestHeaders().getFirst("If-Match");
    return tag == null ? null : tag.replace("\"", "");
  }

  static Answer problem(int status, String title, String detail) {
    ObjectNode node = JsonNodeFactory.instance.objectNode();
    node.put("title", title).put("status", status).put("detail", detail);
    return new Answer(
        status, "application/problem+json", node.toString().getBytes(StandardCharsets.UTF_8), null);
  }

  private static void send(HttpExchange exchange, Answer answer) throws IOException {
    var headers = exchange.getResponseHeaders();
    headers.set("Content-Type", answer.type());
    headers.set("Content-Security-Policy", POLICY);
    headers.set("X-Content-Type-Options", "nosniff");
    headers.set("Cross-Origin-Resource-Policy", "same-origin");
    headers.set("Referrer-Policy", "no-referrer");
    headers.set("Cache-Control", "no-store");
    if (answer.tag() != null) {
      headers.set("ETag", '"' + answer.tag() + '"');
    }
    boolean head = exchange.getRequestMethod().equals("HEAD");
    exchange.sendResponseHeaders(answer.status(), head ? -1 : answer.body().length);
    if (!head) {
      exchange.getResponseBody().write(answer.body());
    }
  }

  /**
   * An answer ready to be sent.
   *
   * @param tag SHA-256 of the content, for If-Match; null = none
   */
  @SuppressWarnings("ArrayRecordComponent") // handed over once, never compared
  record Answer(int status, String type, byte[] body, @Nullable String tag) {}
}
