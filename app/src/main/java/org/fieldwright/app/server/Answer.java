package org.fieldwright.app.server;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * An answer ready to be sent.
 *
 * @param body empty where {@code live} speaks
 * @param tag SHA-256 of the content, for If-Match; null = none
 * @param live what goes on as long as it has something to say; null = the body is all
 * @param headers further ones
 */
@SuppressWarnings("ArrayRecordComponent") // handed over once, never compared
record Answer(
    int status,
    String type,
    byte[] body,
    @Nullable String tag,
    @Nullable Live live,
    Map<String, String> headers) {

  /** Speaks until it is done or nobody listens. */
  interface Live {
    void speak(OutputStream to) throws IOException;
  }

  static Answer of(String type, byte[] body) {
    return new Answer(200, type, body, null, null, Map.of());
  }

  static Answer json(JsonNode node) {
    return json(200, node, null);
  }

  static Answer json(int status, JsonNode node, @Nullable String tag) {
    return new Answer(
        status,
        "application/json",
        node.toString().getBytes(StandardCharsets.UTF_8),
        tag,
        null,
        Map.of());
  }

  /** A file to be kept under a name of its own. */
  static Answer download(String type, byte[] body, String name) {
    return new Answer(
        200,
        type,
        body,
        null,
        null,
        Map.of("Content-Disposition", "attachment; filename=\"" + name + "\""));
  }

  static Answer live(Live live) {
    return new Answer(200, "text/event-stream", new byte[0], null, live, Map.of());
  }

  /** A problem document as in RFC 9457. */
  static Answer problem(int status, String title, String detail) {
    ObjectNode node = JsonNodeFactory.instance.objectNode();
    node.put("title", title).put("status", status).put("detail", detail);
    return new Answer(
        status,
        "application/problem+json",
        node.toString().getBytes(StandardCharsets.UTF_8),
        null,
        null,
        Map.of());
  }
}
