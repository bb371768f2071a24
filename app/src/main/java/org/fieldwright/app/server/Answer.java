package org.fieldwright.app.server;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.util.HashMap;
import java.util.Map;
import org.fieldwright.app.Followed;
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
  private static final long BREATH_MILLIS = 10_000;

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

  /** Server-sent events: one at once, one at every change, the last when it has ended. */
  static Answer following(Followed what) {
    return new Answer(200, "text/event-stream", new byte[0], null, to -> speak(what, to), Map.of());
  }

  private static void speak(Followed what, OutputStream to) throws IOException {
    long known = -1;
    try {
      while (true) {
        Followed.Seen seen = what.after(known, BREATH_MILLIS);
        String text =
            seen.version() == known ? ": still here\n\n" : "data: " + seen.document() + "\n\n";
        to.write(text.getBytes(StandardCharsets.UTF_8));
        to.flush();
        if (seen.ended()) {
          return;
        }
        known = seen.version();
        Thread.sleep(250); // four a second are as many as an eye can follow
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  /** The same with a further header. */
  Answer with(String header, String value) {
    Map<String, String> more = new HashMap<>(headers);
    more.put(header, value);
    return new Answer(status, type, body, tag, live, Map.copyOf(more));
  }

  /** Nobody is signed in: RFC 9110, 15.5.2 asks to name a way, and no browser knows this one. */
  static Answer unknown(String detail) {
    return problem(401, "Not signed in", detail).with("WWW-Authenticate", "Fieldwright-Sign-In");
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
