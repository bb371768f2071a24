package org.fieldwright.app.server;

import java.io.IOException;
import java.util.LinkedHashMap;
import java.util.Map;
import org.fieldwright.app.notebook.NotebookService;
import org.fieldwright.app.team.Role;
import org.jspecify.annotations.Nullable;

/**
 * One method of one address.
 *
 * @param path its variable parts in braces
 * @param needs least role; null = open to whoever reaches the server
 */
record Route(String method, String path, @Nullable Role needs, Handler handler) {

  /** What a route does. */
  interface Handler {
    Answer answer(Call call) throws IOException, NotebookService.Changed;
  }

  /** One that tells nothing of any magnet. */
  static Route open(String method, String path, Handler handler) {
    return new Route(method, path, null, handler);
  }

  /** The variable parts of an address by name, or null where it is another's. */
  @Nullable Map<String, String> match(String[] parts) {
    String[] own = path.split("/", -1);
    if (own.length != parts.length) {
      return null;
    }
    Map<String, String> names = new LinkedHashMap<>();
    for (int i = 0; i < own.length; i++) {
      if (own[i].startsWith("{")) {
        names.put(own[i].substring(1, own[i].length() - 1), parts[i]);
      } else if (!own[i].equals(parts[i])) {
        return null;
      }
    }
    return names;
  }
}
