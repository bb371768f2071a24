package org.fieldwright.adapters.store;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import java.nio.charset.StandardCharsets;
import java.time.Instant;
import java.time.LocalDate;
import java.time.format.DateTimeParseException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.function.Function;
import org.fieldwright.adapters.text.Found;
import org.fieldwright.core.BadInput;
import org.jspecify.annotations.Nullable;

/** Reads what {@link Notebook} wrote; all rows come back as new ones, of revision 0. */
final class NotebookReader {
  private final String file;
  private final String magnet;

  /**
   * @param file for messages
   * @param magnet what it is to be called here
   */
  NotebookReader(String file, String magnet) {
    this.file = file;
    this.magnet = magnet;
  }

  Notebook read(byte[] json) {
    JsonNode root;
    try {
      root = Allowed.JSON.readTree(new String(json, StandardCharsets.UTF_8));
    } catch (JsonProcessingException e) {
      int line = e.getLocation() == null ? 1 : e.getLocation().getLineNr();
      throw new BadInput(
          "%s:%d: found no JSON (%s)".formatted(file, line, e.getOriginalMessage()), e);
    }
    if (root.path("fieldwright").asInt() != Notebook.VERSION) {
      throw Found.instead(
          file, "fieldwright", root.path("fieldwright").toString(), "version " + Notebook.VERSION);
    }
    return new Notebook(
        new Magnet(magnet, text(root.path("magnet"), "magnet", "title"), 0),
        each(root, "visits", this::visit),
        each(root, "files", this::document),
        each(root, "rounds", this::round),
        each(root, "results", this::result),
        each(
            root,
            "column_mappings",
            n ->
                new ColumnMapping(
                    magnet,
                    text(n, "column_mappings", "header"),
                    n.path("mapping").toString(),
                    0)));
  }

  private <T> List<T> each(JsonNode root, String key, Function<JsonNode, T> row) {
    List<T> rows = new ArrayList<>();
    root.path(key).forEach(node -> rows.add(row.apply(node)));
    return List.copyOf(rows);
  }

  private Visit visit(JsonNode n) {
    String day = text(n, "visits", "day");
    try {
      return new Visit(
          magnet, text(n, "visits", "id"), LocalDate.parse(day), text(n, "visits", "note"), 0);
    } catch (DateTimeParseException e) {
      throw Found.instead(file, "visits.day", day, "a day such as 2026-03-02");
    }
  }

  private Document document(JsonNode n) {
    String kind = text(n, "files", "kind");
    if (Arrays.stream(Kind.values()).noneMatch(k -> k.name().equals(kind))) {
      throw Found.instead(file, "files.kind", kind, "one of " + Arrays.toString(Kind.values()));
    }
    return new Document(
        new Label(magnet, text(n, "files", "path"), Kind.valueOf(kind), maybe(n, "visit")),
        text(n, "files", "sha256"),
        0,
        instant(n, "files", "saved"),
        0);
  }

  private Round round(JsonNode n) {
    return new Round(
        magnet,
        text(n, "rounds", "visit"),
        n.path("number").asInt(),
        maybe(n, "before"),
        maybe(n, "plan"),
        maybe(n, "loaded"),
        maybe(n, "after"),
        text(n, "rounds", "note"),
        0);
  }

  private KeptResult result(JsonNode n) {
    List<Result.Input> inputs =
        each(
            n,
            "inputs",
            i ->
                new Result.Input(
                    text(i, "results.inputs", "path"), text(i, "results.inputs", "sha256")));
    return new KeptResult(
        text(n, "results", "id"),
        new Result(
            magnet,
            maybe(n, "visit"),
            text(n, "results", "service"),
            inputs,
            text(n, "results", "version"),
            n.path("options").toString(),
            whole(n, "seed"),
            whole(n, "iterations"),
            instant(n, "results", "computed")),
        text(n, "results", "answer"));
  }

  private String text(JsonNode node, String list, String key) {
    JsonNode value = node.path(key);
    if (!value.isTextual()) {
      throw Found.instead(file, list + "." + key, value.toString(), "a text");
    }
    return value.textValue();
  }

  private static @Nullable String maybe(JsonNode node, String key) {
    return node.path(key).textValue();
  }

  private static @Nullable Long whole(JsonNode node, String key) {
    return node.path(key).isIntegralNumber() ? Long.valueOf(node.path(key).longValue()) : null;
  }

  private Instant instant(JsonNode node, String list, String key) {
    String value = text(node, list, key);
    try {
      return Instant.parse(value);
    } catch (DateTimeParseException e) {
      throw Found.instead(file, list + "." + key, value, "a time such as 2026-03-02T10:00:00Z");
    }
  }
}
