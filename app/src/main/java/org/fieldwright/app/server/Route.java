package org.fieldwright.app.server;

import java.io.IOException;
import java.util.LinkedHashMap;
import java.util.Map;
import org.fieldwright.app.notebook.NotebookService;
import org.jspecify.annotations.Nullable;

/**
 * One method of one address.
 *
 * @param path its variable parts in braces
 */
record Route(String method, String path, Handler handler) {

  /** What a route does. */
  interface Handler {
    Answer answer(Call call) throws IOException, NotebookService.Changed;
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
