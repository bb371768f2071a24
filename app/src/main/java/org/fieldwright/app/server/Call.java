package org.fieldwright.app.server;

import java.net.URLDecoder;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.fieldwright.core.BadInput;
import org.jspecify.annotations.Nullable;

/** One request, with the variable parts of its path by name. */
final class Call {
  private final Map<String, String> names;
  private final Map<String, List<String>> query;
  private final Visitor who;
  private final byte[] body;
  private final @Nullable String expected;

  /**
   * @param rawQuery still encoded
   * @param expected the If-Match header without its quotes
   */
  Call(
      Map<String, String> names,
      @Nullable String rawQuery,
      Visitor who,
      byte[] body,
      @Nullable String expected) {
    this.names = names;
    this.query = parsed(rawQuery);
    this.who = who;
    this.body = body;
    this.expected = expected;
  }

  private static Map<String, List<String>> parsed(@Nullable String raw) {
    Map<String, List<String>> all = new LinkedHashMap<>();
    if (raw == null || raw.isEmpty()) {
      return all;
    }
    for (String pair : raw.split("&", -1)) {
      int cut = pair.indexOf('=');
      if (cut <= 0) {
        throw new BadInput("query: found '%s'; right is name=value".formatted(pair));
      }
      all.computeIfAbsent(decoded(pair.substring(0, cut)), k -> new ArrayList<>())
          .add(decoded(pair.substring(cut + 1)));
    }
    return all;
  }

  private static String decoded(String text) {
    try {
      return URLDecoder.decode(text, StandardCharsets.UTF_8);
    } catch (IllegalArgumentException e) {
      throw new BadInput("query: found '%s', which is not encoded as a URL".formatted(text), e);
    }
  }

  /** A variable part of the path. */
  String name(String part) {
    String value = names.get(part);
    if (value == null) {
      throw new IllegalStateException("the route has no part " + part);
    }
    return value;
  }

  Visitor who() {
    return who;
  }

  byte[] body() {
    return body;
  }

  @Nullable String expected() {
    return expected;
  }

  /** Refuses a query that says what this route does not know. */
  Call knowing(String... known) {
    for (String name : query.keySet()) {
      if (!Set.of(known).contains(name)) {
        throw new BadInput(
            "query: found '%s'; known %s"
                .formatted(
                    name, known.length == 0 ? "is nothing" : "are " + String.join(", ", known)));
      }
    }
    return this;
  }

  List<String> all(String name) {
    return query.getOrDefault(name, List.of());
  }

  /** The value given, or null; twice is once too often. */
  @Nullable String text(String name) {
    List<String> values = all(name);
    if (values.size() > 1) {
      throw new BadInput("query: found %s %d times; once is right".formatted(name, values.size()));
    }
    return values.isEmpty() || values.get(0).isEmpty() ? null : values.get(0);
  }

  String required(String name) {
    String value = text(name);
    if (value == null) {
      throw new BadInput("query: found no %s; %s=… is needed".formatted(name, name));
    }
    return value;
  }

  @Nullable Integer whole(String name, int low, int high) {
    String value = text(name);
    if (value == null) {
      return null;
    }
    if (!value.matches("[0-9]{1,6}")
        || Integer.parseInt(value) < low
        || Integer.parseInt(value) > high) {
      throw new BadInput(
          "query: found %s=%s; right is a whole number from %d to %d"
              .formatted(name, value, low, high));
    }
    return Integer.valueOf(value);
  }

  @Nullable Double number(String name) {
    String value = text(name);
    if (value == null) {
      return null;
    }
    try {
      double number = Double.parseDouble(value);
      if (Double.isFinite(number)) {
        return number;
      }
    } catch (NumberFormatException e) {
      // said below
    }
    throw new BadInput("query: found %s=%s; right is a number".formatted(name, value));
  }
}
