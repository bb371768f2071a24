package org.fieldwright.app.server;

import java.io.IOException;
import java.io.InputStream;
import java.util.List;
import java.util.Map;

/** The page: files that the build of {@code web} put beside this class. */
final class PageFiles {
  private static final String HTML = "text/html; charset=utf-8";
  private static final Map<String, String> TYPES =
      Map.of(
          "html", HTML,
          "js", "text/javascript; charset=utf-8",
          "css", "text/css; charset=utf-8",
          "svg", "image/svg+xml");

  private PageFiles() {}

  static List<Route> routes() {
    return List.of(
        Route.open("GET", "/", call -> file("index.html")),
        Route.open("GET", "/{file}", call -> file(call.name("file"))),
        Route.open("GET", "/assets/{file}", call -> file("assets/" + call.name("file"))));
  }

  private static Answer file(String name) throws IOException {
    String ending = name.substring(name.lastIndexOf('.') + 1);
    String type = TYPES.get(ending);
    if (type == null || !name.matches("(assets/)?[A-Za-z0-9_-]+(\\.[A-Za-z0-9]+)+")) {
      return Answer.problem(404, "Not found", "there is no such address");
    }
    try (InputStream in = PageFiles.class.getResourceAsStream("page/" + name)) {
      if (in != null) {
        return Answer.of(type, in.readAllBytes());
      }
    }
    return name.equals("index.html")
        ? Answer.of(HTML, Routes.resource("no-page.html"))
        : Answer.problem(404, "Not found", "there is no such address");
  }
}
