package org.fieldwright.adapters.store;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.core.util.DefaultIndenter;
import com.fasterxml.jackson.core.util.DefaultPrettyPrinter;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.nio.charset.StandardCharsets;
import java.util.List;
import org.jspecify.annotations.Nullable;

/** All rows of one magnet, and how they are written as {@code fieldwright/notebook.json}. */
record Notebook(
    Magnet magnet,
    List<Visit> visits,
    List<Document> documents,
    List<Round> rounds,
    List<KeptResult> results,
    List<ColumnMapping> mappings) {

  static final int VERSION = 1;

  /** The same rows give the same bytes. */
  byte[] toJson() {
    ObjectNode root = JsonNodeFactory.instance.objectNode().put("fieldwright", VERSION);
    root.putObject("magnet").put("id", magnet.id()).put("title", magnet.title());
    ArrayNode visitNodes = root.putArray("visits");
    for (Visit v : visits) {
      visitNodes.addObject().put("id", v.id()).put("day", v.day().toString()).put("note", v.note());
    }
    ArrayNode fileNodes = root.putArray("files");
    documents.forEach(d -> add(fileNodes, d));
    ArrayNode roundNodes = root.putArray("rounds");
    rounds.forEach(r -> add(roundNodes, r));
    ArrayNode resultNodes = root.putArray("results");
    results.forEach(r -> add(resultNodes, r));
    ArrayNode mappingNodes = root.putArray("column_mappings");
    for (ColumnMapping m : mappings) {
      mappingNodes
          .addObject()
          .put("header", m.header())
          .set("mapping", Allowed.tree("mapping", m.mapping()));
    }
    DefaultPrettyPrinter lines =
        new DefaultPrettyPrinter().withObjectIndenter(new DefaultIndenter("  ", "\n"));
    try {
      String text = Allowed.JSON.writer(lines).writeValueAsString(root);
      return (text + "\n").getBytes(StandardCharsets.UTF_8);
    } catch (JsonProcessingException e) {
      throw new IllegalStateException("a tree can always be written", e);
    }
  }

  private static void add(ArrayNode list, Document document) {
    Label label = document.label();
    ObjectNode node = list.addObject().put("path", label.path()).put("kind", label.kind().name());
    putIfThere(node, "visit", label.visit());
    node.put("sha256", document.sha256()).put("saved", document.saved().toString());
  }

  private static void add(ArrayNode list, Round round) {
    ObjectNode node = list.addObject().put("visit", round.visit()).put("number", round.number());
    putIfThere(node, "before", round.before());
    putIfThere(node, "plan", round.plan());
    putIfThere(node, "loaded", round.loaded());
    putIfThere(node, "after", round.after());
    node.put("note", round.note());
  }

  private static void add(ArrayNode list, KeptResult kept) {
    Result result = kept.result();
    ObjectNode node = list.addObject().put("id", kept.id());
    putIfThere(node, "visit", result.visit());
    node.put("service", result.service()).put("version", result.version());
    ArrayNode inputs = node.putArray("inputs");
    for (Result.Input input : result.inputs()) {
      inputs.addObject().put("path", input.path()).put("sha256", input.sha256());
    }
    node.set("options", Allowed.tree("options", result.options()));
    node.put("seed", result.seed()).put("iterations", result.iterations());
    node.put("computed", result.computed().toString()).put("answer", kept.answer());
  }

  private static void putIfThere(ObjectNode node, String key, @Nullable String value) {
    if (value != null) {
      node.put(key, value);
    }
  }
}
