package org.fieldwright.app.server;

import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import java.io.IOException;
import java.io.InputStream;
import java.net.URI;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.fieldwright.app.Version;
import org.fieldwright.app.notebook.NotebookService;
import org.fieldwright.app.team.Role;
import org.jspecify.annotations.Nullable;

/** Every route of the server; {@code openapi.yaml} beside this class describes them. */
final class Routes {
  private final List<Route> routes = new ArrayList<>();
  private final Desk desk;

  Routes(Desk desk) {
    this.desk = desk;
    routes.add(
        new Route(
            "GET",
            "/api/v1/openapi.yaml",
            Role.SEE,
            call -> Answer.of("application/yaml", resource("openapi.yaml"))));
    routes.add(new Route("GET", "/api/v1/about", Role.SEE, call -> about()));
    routes.addAll(new SessionRoutes(desk).all());
    routes.addAll(new FolderRoutes(desk).all());
    routes.addAll(new FieldRoutes(desk).all());
    routes.addAll(new OutsideRoutes(desk.outside()).all());
    routes.addAll(new PlanRoutes(desk).all());
    routes.addAll(new CaptureRoutes(desk).all());
    routes.addAll(new RecordingRoutes(desk.recordings()).all());
    routes.addAll(new SeatingRoutes(desk.seatings()).all());
    routes.addAll(new PaperRoutes(desk).all());
    routes.addAll(PageFiles.routes());
  }

  List<Route> all() {
    return List.copyOf(routes);
  }

  /** The content of a request, read only once it is known who sends it. */
  interface Body {
    byte[] read() throws IOException;
  }

  Answer answer(String method, URI uri, Visitor who, Body body, @Nullable String expected)
      throws IOException, NotebookService.Changed {
    String[] parts = String.valueOf(uri.getPath()).split("/", -1);
    boolean known = false;
    for (Route route : routes) {
      Map<String, String> names = route.match(parts);
      if (names != null) {
        known = true;
        if (route.method().equals(method) || (route.method() + method).equals("GETHEAD")) {
          Answer no = refusal(route, who);
          if (no != null) {
            return no;
          }
          String magnet = names.get("magnet");
          if (magnet != null) {
            desk.notebook().bringInLine(magnet);
          }
          return route
              .handler()
              .answer(new Call(names, uri.getRawQuery(), who, body.read(), expected));
        }
      }
    }
    return known
        ? Answer.problem(405, "Not allowed", "this address knows no " + method)
        : Answer.problem(404, "Not found", "there is no such address");
  }

  private static @Nullable Answer refusal(Route route, Visitor who) {
    Role needs = route.needs();
    if (needs == null || who.may(needs)) {
      return null;
    }
    return who.role() == null
        ? Answer.unknown("sign in first")
        : Answer.problem(
            403,
            "Not yours to do",
            "it needs the role '%s'; yours is '%s'".formatted(needs.word(), who.role().word()));
  }

  private static Answer about() {
    return Answer.json(
        JsonNodeFactory.instance
            .objectNode()
            .put("program", "fieldwright")
            .put("version", Version.current()));
  }

  /** A file that comes with this package. */
  static byte[] resource(String name) throws IOException {
    try (InputStream in = Routes.class.getResourceAsStream(name)) {
      if (in == null) {
        throw new IllegalStateException(name + " is missing from the program");
      }
      return in.readAllBytes();
    }
  }
}
