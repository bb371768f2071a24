package org.fieldwright.app.server;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.util.Set;
import java.util.stream.Collectors;
import org.fieldwright.core.BadInput;
import org.jspecify.annotations.Nullable;

/** What the JSON body of a request asks for. */
final class Asked {
  private final ObjectNode body;

  private Asked(ObjectNode body) {
    this.body = body;
  }

  /** Reads the body of a request; refuses one that says what its route does not know. */
  static Asked of(Call call, String... known) throws IOException {
    Set<String> fields = Set.of(known);
    try {
      JsonNode node = new ObjectMapper().readTree(call.body());
      if (!(node instanceof ObjectNode object)) {
        throw new BadInput("body: found no JSON object");
      }
      for (var names = object.fieldNames(); names.hasNext(); ) {
        String name = names.next();
        if (!fields.contains(name)) {
          throw new BadInput(
              "body: found '%s'; known are %s"
                  .formatted(name, fields.stream().sorted().collect(Collectors.joining(", "))));
        }
      }
      return new Asked(object);
    } catch (JsonProcessingException e) {
      throw new BadInput("body: not JSON: " + e.getOriginalMessage(), e);
    }
  }

  /** All of it. */
  ObjectNode body() {
    return body;
  }

  boolean has(String field) {
    return body.has(field);
  }

  JsonNode path(String field) {
    return body.path(field);
  }

  boolean isTrue(String field) {
    return body.path(field).asBoolean();
  }

  String text(String field, String otherwise) {
    return body.path(field).asText(otherwise);
  }

  /** A text that must be there. */
  String text(String field) {
    String text = text(field, "");
    if (text.isEmpty()) {
      throw new BadInput("%s: found nothing; it is needed".formatted(field));
    }
    return text;
  }

  /** Null where it is empty. */
  @Nullable String textOrNull(String field) {
    String text = text(field, "");
    return text.isEmpty() ? null : text;
  }

  @Nullable Double number(String field) {
    JsonNode node = body.path(field);
    if (node.isMissingNode() || node.isNull()) {
      return null;
    }
    if (!node.isNumber() || !Double.isFinite(node.asDouble())) {
      throw new BadInput("%s: found %s; right is a number".formatted(field, node));
    }
    return node.asDouble();
  }

  double number(String field, double otherwise) {
    Double given = number(field);
    return given == null ? otherwise : given;
  }

  @Nullable Double positive(String field) {
    Double value = number(field);
    if (value != null && !(value > 0)) {
      throw new BadInput("%s: found %s; right is above 0".formatted(field, value));
    }
    return value;
  }

  @Nullable Integer whole(String field) {
    Double value = number(field);
    if (value == null) {
      return null;
    }
    if (value < 0 || value > Integer.MAX_VALUE || value != Math.rint(value)) {
      throw new BadInput("%s: found %s; right is a whole number".formatted(field, value));
    }
    return value.intValue();
  }
}
