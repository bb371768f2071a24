package org.fieldwright.app.evidence;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import org.fieldwright.adapters.files.MagnetFile;
import org.fieldwright.adapters.files.bundle.BundleArchive;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.homogeneity.GlobalRisk;
import org.jspecify.annotations.Nullable;

/**
 * Where a visit's files lie in a bundle, and what the manifest says of them: written when a bundle
 * is made, read back when it is verified.
 */
final class BundleLayout {
  private static final JsonNodeFactory JSON = JsonNodeFactory.instance;

  private final Map<String, Path> files = new LinkedHashMap<>();
  private final ObjectNode visit = JSON.objectNode();

  private BundleLayout() {}

  /** Of a visit. */
  static BundleLayout of(VisitFiles v) {
    BundleLayout layout = new BundleLayout();
    Path folder = v.magnet().toAbsolutePath().normalize().getParent();
    for (Path source : MagnetFile.load(v.magnet()).sources()) {
      Path full = source.toAbsolutePath().normalize();
      String name = folder == null ? full.toString() : folder.relativize(full).toString();
      layout.put("magnet/" + name.replace('\\', '/'), source);
    }
    ObjectNode visit = layout.visit;
    visit.put("magnet", "magnet/" + v.magnet().getFileName());
    visit.set("survey", layout.taken("survey", v.survey()));
    ArrayNode rounds = visit.putArray("rounds");
    for (VisitFiles.Round round : v.rounds()) {
      String at = "round-" + (rounds.size() + 1) + "/";
      ObjectNode node = rounds.addObject();
      node.put("loaded", round.loaded() == null ? null : layout.in(at + "loaded", round.loaded()));
      node.set("after", round.after() == null ? null : layout.taken(at + "after", round.after()));
    }
    ArrayNode logs = visit.putArray("logs");
    v.logs().forEach(log -> logs.add(layout.in("log-" + (logs.size() + 1), log)));
    visit
        .putObject("stated")
        .put("site", v.stated().site())
        .put("measured_by", v.stated().measuredBy())
        .put("instrument", v.stated().instrument())
        .put("number", v.stated().number());
    ObjectNode priors = visit.putObject("priors");
    v.priors()
        .forEach(
            (limit, prior) ->
                priors
                    .putObject(limit)
                    .put("mean", prior.mean())
                    .put("standard_deviation", prior.deviation()));
    return layout;
  }

  private String in(String folder, Path file) {
    String path = folder + "/" + file.getFileName();
    put(path, file);
    return path;
  }

  private ObjectNode taken(String folder, VisitFiles.Taken taken) {
    ObjectNode node = JSON.objectNode();
    node.put("file", in(folder, taken.file()));
    node.put("degree", taken.degree());
    ArrayNode leaveOut = node.putArray("leave_out");
    new TreeSet<>(taken.leaveOut()).forEach(leaveOut::add);
    ArrayNode keep = node.putArray("keep");
    new TreeSet<>(taken.keep()).forEach(keep::add);
    return node;
  }

  private void put(String path, Path source) {
    if (!BundleArchive.isPlain(path)) {
      throw new BadInput(
          "%s: a bundle takes file names of letters, digits, spaces and ._()+,- only"
              .formatted(source));
    }
    files.put(path, source);
  }

  /** Files as they were given, by their path in the bundle. */
  Map<String, Path> files() {
    return files;
  }

  /** What the manifest says under {@code fieldwright/visit}. */
  ObjectNode visit() {
    return visit;
  }

  /**
   * A visit from what a manifest says of it.
   *
   * @param folder the bundle's files lie in
   * @param there paths that the manifest lists; another is refused
   */
  static VisitFiles read(JsonNode visit, Path folder, Set<String> there) {
    Reader reader = new Reader(folder, there);
    List<VisitFiles.Round> rounds = new ArrayList<>();
    for (JsonNode round : visit.path("rounds")) {
      JsonNode loaded = round.path("loaded");
      JsonNode after = round.path("after");
      rounds.add(
          new VisitFiles.Round(
              loaded.isTextual() ? reader.file(loaded) : null,
              after.isObject() ? reader.taken(after) : null));
    }
    List<Path> logs = new ArrayList<>();
    visit.path("logs").forEach(log -> logs.add(reader.file(log)));
    JsonNode stated = visit.path("stated");
    Map<String, GlobalRisk.Prior> priors = new LinkedHashMap<>();
    visit
        .path("priors")
        .properties()
        .forEach(
            e ->
                priors.put(
                    e.getKey(),
                    new GlobalRisk.Prior(
                        e.getValue().path("mean").asDouble(),
                        e.getValue().path("standard_deviation").asDouble())));
    return new VisitFiles(
        reader.file(visit.path("magnet")),
        reader.taken(visit.path("survey")),
        rounds,
        logs,
        new VisitFiles.Stated(
            text(stated, "site"),
            text(stated, "measured_by"),
            text(stated, "instrument"),
            text(stated, "number")),
        priors);
  }

  private static @Nullable String text(JsonNode node, String name) {
    return node.path(name).isTextual() ? node.path(name).asText() : null;
  }

  /** Reads paths and surveys; nothing outside the bundle's own list is looked at. */
  private record Reader(Path folder, Set<String> there) {
    Path file(JsonNode path) {
      if (!there.contains(path.asText())) {
        throw new BadInput(
            "%s: points to %s, which is not in the bundle"
                .formatted(EvidenceService.MANIFEST, path));
      }
      return folder.resolve(path.asText());
    }

    VisitFiles.Taken taken(JsonNode node) {
      JsonNode degree = node.path("degree");
      return new VisitFiles.Taken(
          file(node.path("file")),
          degree.isInt() ? (Integer) degree.asInt() : null,
          rows(node.path("leave_out")),
          rows(node.path("keep")));
    }

    private static Set<Integer> rows(JsonNode node) {
      Set<Integer> rows = new HashSet<>();
      node.forEach(n -> rows.add(n.asInt()));
      return rows;
    }
  }
}
