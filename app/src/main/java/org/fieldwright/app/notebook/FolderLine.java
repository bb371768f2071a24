package org.fieldwright.app.notebook;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Map;
import java.util.TreeMap;

/**
 * How a magnet's folder was when it was last in line with the store: what lies in between tells
 * whether the store moved on or a hand was in the folder. Kept on this machine, outside the folder;
 * lost, it costs nothing but a second copy of what differs.
 *
 * @param changes how many the store had counted
 * @param files by path
 */
record FolderLine(long changes, Map<String, Seen> files) {
  static final FolderLine NONE = new FolderLine(-1, Map.of());

  FolderLine {
    files = Map.copyOf(files);
  }

  /**
   * A file as it was looked at.
   *
   * @param modified when it says that it was changed, milliseconds
   * @param looked when its content was read, milliseconds
   */
  record Seen(String sha256, long bytes, long modified, long looked) {
    /** Clocks of file systems tick coarsely; what changed within this is read again. */
    private static final long TICK_MS = 2_000;

    /** Whether a file that has these marks still has this content. */
    boolean holds(long bytesNow, long modifiedNow) {
      return bytes == bytesNow && modified == modifiedNow && modified + TICK_MS < looked;
    }
  }

  /** Whether nothing has happened since. */
  boolean is(long changesNow, Map<String, Seen> now) {
    return changes == changesNow
        && files.keySet().equals(now.keySet())
        && now.entrySet().stream().allMatch(e -> has(e.getKey(), e.getValue().sha256()));
  }

  boolean has(String path, String sha256) {
    Seen seen = files.get(path);
    return seen != null && seen.sha256().equals(sha256);
  }

  /** One that is missing or cannot be read is as good as none. */
  static FolderLine read(Path file) throws IOException {
    if (!Files.exists(file)) {
      return NONE;
    }
    try {
      JsonNode root = new ObjectMapper().readTree(Files.readAllBytes(file));
      Map<String, Seen> files = new TreeMap<>();
      for (JsonNode f : root.path("files")) {
        files.put(
            f.path("path").asText(),
            new Seen(
                f.path("sha256").asText(),
                f.path("bytes").asLong(),
                f.path("modified").asLong(),
                f.path("looked").asLong()));
      }
      return new FolderLine(root.path("changes").asLong(-1), files);
    } catch (JsonProcessingException e) {
      return NONE;
    }
  }

  byte[] toJson() {
    ObjectNode root = JsonNodeFactory.instance.objectNode().put("changes", changes);
    ArrayNode list = root.putArray("files");
    new TreeMap<>(files)
        .forEach(
            (path, seen) ->
                list.addObject()
                    .put("path", path)
                    .put("sha256", seen.sha256())
                    .put("bytes", seen.bytes())
                    .put("modified", seen.modified())
                    .put("looked", seen.looked()));
    return root.toString().getBytes(StandardCharsets.UTF_8);
  }
}
