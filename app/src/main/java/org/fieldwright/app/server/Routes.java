package org.fieldwright.app.server;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.io.InputStream;
import java.net.URI;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.stream.IntStream;
import org.fieldwright.app.Version;
import org.fieldwright.app.assess.AssessmentJson;
import org.fieldwright.app.notebook.NotebookService;
import org.fieldwright.app.server.LocalServer.Answer;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.harmonic.Normalisation;
import org.jspecify.annotations.Nullable;

/** Every route of the HTTP API, as {@code openapi.yaml} beside this class describes them. */
final class Routes {
  private static final String JSON = "application/json";
  private static final int HIGHEST_DEGREE = 40;

  /** What a route does with the variable parts of its path. */
  private interface Handler {
    Answer answer(List<String> names, Request request) throws IOException, NotebookService.Changed;
  }

  @SuppressWarnings("ArrayRecordComponent") // handed over once, never compared
  private record Request(@Nullable String query, byte[] body, @Nullable String expected) {}

  /**
   * @param path its variable parts in braces
   */
  record Route(String method, String path, Handler handler) {
    boolean matches(String[] parts) {
      String[] own = path.split("/", -1);
      if (own.length != parts.length) {
        return false;
      }
      for (int i = 0; i < own.length; i++) {
        if (!own[i].startsWith("{") && !own[i].equals(parts[i])) {
          return false;
        }
      }
      return true;
    }
  }

  private final NotebookService notebook;
  private final List<Route> routes =
      List.of(
          new Route("GET", "/", (names, r) -> resource("index.html", "text/html; charset=utf-8")),
          new Route(
              "GET",
              "/api/v1/openapi.yaml",
              (n, r) -> resource("openapi.yaml", "application/yaml")),
          new Route("GET", "/api/v1/about", (names, r) -> about()),
          new Route("GET", "/api/v1/magnets", (names, r) -> magnets()),
          new Route("GET", "/api/v1/magnets/{magnet}", (names, r) -> files(names.get(0))),
          new Route("GET", "/api/v1/magnets/{magnet}/files/{file}", (names, r) -> file(names)),
          new Route("PUT", "/api/v1/magnets/{magnet}/files/{file}", this::save),
          new Route("GET", "/api/v1/magnets/{magnet}/surveys/{file}/assessment", this::assess));

  Routes(NotebookService notebook) {
    this.notebook = notebook;
  }

  List<Route> all() {
    return routes;
  }

  Answer answer(String method, URI uri, byte[] body, @Nullable String expected)
      throws IOException, NotebookService.Changed {
    String[] parts = String.valueOf(uri.getPath()).split("/", -1);
    boolean known = false;
    for (Route route : routes) {
      if (route.matches(parts)) {
        known = true;
        if (route.method().equals(method) || (route.method() + method).equals("GETHEAD")) {
          return route
              .handler()
              .answer(names(route, parts), new Request(uri.getQuery(), body, expected));
        }
      }
    }
    return known
        ? LocalServer.problem(405, "Not allowed", "this address knows no " + method)
        : LocalServer.problem(404, "Not found", "there is no such address");
  }

  private static List<String> names(Route route, String[] parts) {
    String[] own = route.path().split("/", -1);
    return IntStream.range(0, own.length)
        .filter(i -> own[i].startsWith("{"))
        .mapToObj(i -> parts[i])
        .toList();
  }

  private static Answer about() {
    return json(
        JsonNodeFactory.instance
            .objectNode()
            .put("program", "fieldwright")
            .put("version", Version.current()));
  }

  private Answer magnets() throws IOException {
    ObjectNode root = JsonNodeFactory.instance.objectNode();
    ArrayNode list = root.putArray("magnets");
    notebook.magnets().forEach(m -> list.addObject().put("id", m));
    return json(root);
  }

  private Answer files(String magnet) throws IOException {
    ObjectNode root = JsonNodeFactory.instance.objectNode().put("id", magnet);
    ArrayNode list = root.putArray("files");
    notebook.files(magnet).forEach(list::add);
    return json(root);
  }

  private Answer file(List<String> names) throws IOException {
    NotebookService.Kept kept = notebook.read(names.get(0), names.get(1));
    return new Answer(200, "application/octet-stream", kept.content(), kept.sha256());
  }

  private Answer save(List<String> names, Request request)
      throws IOException, NotebookService.Changed {
    String tag = notebook.save(names.get(0), names.get(1), request.body(), request.expected());
    ObjectNode node = JsonNodeFactory.instance.objectNode();
    node.put("file", names.get(1)).put("sha256", tag);
    return new Answer(200, JSON, node.toString().getBytes(StandardCharsets.UTF_8), tag);
  }

  private Answer assess(List<String> names, Request request) throws IOException {
    return json(
        AssessmentJson.of(
            notebook.assess(names.get(0), names.get(1), degree(request.query())),
            Normalisation.SCHMIDT));
  }

  private static @Nullable Integer degree(@Nullable String query) {
    if (query == null) {
      return null;
    }
    String value = query.startsWith("degree=") ? query.substring("degree=".length()) : "";
    if (!value.matches("[0-9]{1,2}")
        || Integer.parseInt(value) < 1
        || Integer.parseInt(value) > HIGHEST_DEGREE) {
      throw new BadInput(
          "query: found '%s'; right is degree=N, N from 1 to %d".formatted(query, HIGHEST_DEGREE));
    }
    return Integer.valueOf(value);
  }

  private static Answer json(ObjectNode node) {
    return new Answer(200, JSON, node.toString().getBytes(StandardCharsets.UTF_8), null);
  }

  private static Answer resource(String name, String type) throws IOException {
    try (InputStream in = Routes.class.getResourceAsStream(name)) {
      if (in == null) {
        throw new IllegalStateException(name + " is missing from the program");
      }
      return new Answer(200, type, in.readAllBytes(), null);
    }
  }
}
