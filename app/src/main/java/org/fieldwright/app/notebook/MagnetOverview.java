package org.fieldwright.app.notebook;

import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.concurrent.ConcurrentHashMap;
import org.fieldwright.adapters.files.FieldLogFile;
import org.fieldwright.adapters.files.FileKind;
import org.fieldwright.adapters.files.MagnetFile;
import org.fieldwright.adapters.files.SurveyFile;
import org.fieldwright.app.assess.Assessment;
import org.fieldwright.app.assess.AssessmentJson;
import org.fieldwright.app.correct.RecordAnswer;
import org.fieldwright.app.correct.RecordService;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.correction.IronSystem;
import org.fieldwright.core.correction.Loading;
import org.fieldwright.core.correction.Pocket;
import org.fieldwright.core.geometry.Volume;
import org.fieldwright.core.homogeneity.Limit;
import org.fieldwright.core.magnet.Magnet;
import org.fieldwright.core.reading.Reading;
import org.fieldwright.core.reading.Survey;
import org.jspecify.annotations.Nullable;

/** What the notebook holds of a magnet: its files by what they are, and its visits over time. */
public final class MagnetOverview {
  /** Surveys and logs less than this apart belong to one visit. */
  private static final Duration ONE_VISIT = Duration.ofDays(7);

  private static final double MM = 1e3;
  private static final JsonNodeFactory JSON = JsonNodeFactory.instance;

  private final NotebookService notebook;
  private final AssessedSurveys surveys;
  private final Map<Path, Known> known = new ConcurrentHashMap<>();

  public MagnetOverview(NotebookService notebook, AssessedSurveys surveys) {
    this.notebook = notebook;
    this.surveys = surveys;
  }

  /** Every magnet with what its file says of it; one whose file cannot be read says why. */
  public ObjectNode all() throws IOException {
    ObjectNode root = JSON.objectNode();
    ArrayNode list = root.putArray("magnets");
    for (String id : notebook.magnets()) {
      describe(list.addObject().put("id", id), id);
    }
    return root;
  }

  private @Nullable Magnet describe(ObjectNode node, String id) throws IOException {
    if (!notebook.files(id).contains(NotebookService.MAGNET_FILE)) {
      node.put("name", id).put("complaint", "there is no magnet.yaml yet: add the magnet file");
      return null;
    }
    try {
      Magnet magnet = MagnetFile.read(notebook.magnetFile(id));
      node.put("name", magnet.name()).put("serial", magnet.serial());
      node.put("field_T", magnet.nominalField());
      node.put("gamma_MHz_per_T", magnet.array().gammaMHzPerT());
      return magnet;
    } catch (BadInput e) {
      node.put("name", id).put("complaint", notebook.withoutPlace(String.valueOf(e.getMessage())));
      return null;
    }
  }

  /** One magnet: its limits, its files, its visits and the rounds recorded. */
  public ObjectNode of(String id) throws IOException {
    ObjectNode root = JSON.objectNode().put("id", id);
    List<String> files = notebook.files(id);
    Magnet magnet = describe(root, id);
    ArrayNode list = root.putArray("files");
    List<Dated> dated = new ArrayList<>();
    for (String file : files) {
      FileKind kind = FileKind.of(notebook.existing(id, file));
      list.addObject().put("file", file).put("kind", kind.id());
      if (magnet != null && (kind == FileKind.SURVEY || kind == FileKind.FIELD_LOG)) {
        dated.add(dated(notebook.existing(id, file), kind, magnet));
      }
    }
    if (magnet != null) {
      root.set("limits", limits(magnet));
      IronSystem iron = magnet.iron();
      root.put("can_load", iron != null);
      root.put("can_rehearse", files.contains(SampleMagnet.SCENARIO));
    }
    root.set("visits", visits(dated));
    root.set("plans", plans(id, files));
    root.set(
        "rounds",
        magnet == null || magnet.iron() == null
            ? JSON.arrayNode()
            : RecordAnswer.json(RecordService.rounds(notebook.magnetFile(id)), List.of())
                .path("rounds"));
    return root;
  }

  private record Dated(
      String file, FileKind kind, @Nullable Instant at, @Nullable String complaint) {}

  /** A file's state when it was last read for its time. */
  private record Stamp(long bytes, FileTime written) {}

  private record Known(Stamp stamp, Dated dated) {}

  /** When a file was taken; read again only when it has changed, as a long log takes seconds. */
  private Dated dated(Path path, FileKind kind, Magnet magnet) throws IOException {
    Stamp now = new Stamp(Files.size(path), Files.getLastModifiedTime(path));
    Known before = known.get(path);
    if (before != null && before.stamp().equals(now) && before.dated().complaint() == null) {
      return before.dated();
    }
    Dated found = readTime(path, kind, magnet);
    known.put(path, new Known(now, found));
    return found;
  }

  private Dated readTime(Path path, FileKind kind, Magnet magnet) {
    String name = String.valueOf(path.getFileName());
    try {
      if (kind == FileKind.FIELD_LOG) {
        return new Dated(
            name, kind, FieldLogFile.read(path, magnet.array().gammaMHzPerT()).start(), null);
      }
      Survey survey = SurveyFile.read(path, magnet);
      return new Dated(
          name,
          kind,
          survey.readings().stream()
              .map(Reading::time)
              .filter(Objects::nonNull)
              .min(Comparator.naturalOrder())
              .orElse(null),
          null);
    } catch (BadInput e) {
      return new Dated(name, kind, null, notebook.withoutPlace(String.valueOf(e.getMessage())));
    }
  }

  /** Groups what was measured by when; what carries no time makes a visit of its own, the last. */
  private static ArrayNode visits(List<Dated> dated) {
    ArrayNode visits = JSON.arrayNode();
    List<Dated> timed =
        dated.stream()
            .filter(d -> d.at() != null)
            .sorted(Comparator.comparing(d -> Objects.requireNonNull(d.at())))
            .toList();
    ObjectNode open = null;
    Instant last = Instant.MIN;
    for (Dated d : timed) {
      Instant at = Objects.requireNonNull(d.at());
      if (open == null || last.plus(ONE_VISIT).isBefore(at)) {
        open = visit(visits, at.toString().substring(0, "2026-03-10".length()));
      }
      add(open, d);
      last = at;
    }
    ObjectNode undated = null;
    for (Dated d : dated) {
      if (d.at() == null) {
        undated = undated == null ? visit(visits, "undated") : undated;
        add(undated, d);
      }
    }
    return visits;
  }

  private static ObjectNode visit(ArrayNode visits, String id) {
    ObjectNode node = visits.addObject().put("id", id);
    node.putArray("surveys");
    node.putArray("logs");
    return node;
  }

  private static void add(ObjectNode visit, Dated d) {
    ((ArrayNode) visit.path(d.kind() == FileKind.SURVEY ? "surveys" : "logs"))
        .addObject()
        .put("file", d.file())
        .put("time", d.at() == null ? null : String.valueOf(d.at()))
        .put("complaint", d.complaint());
  }

  /** Plans with what was asked and promised, and lists of changes that came from elsewhere. */
  private ArrayNode plans(String id, List<String> files) throws IOException {
    ArrayNode plans = JSON.arrayNode();
    for (String file : files) {
      if (!file.matches("plan-[0-9]+\\.csv")) {
        continue;
      }
      String beside = file.replace(".csv", ".json");
      ObjectNode plan = plans.addObject().put("id", file.replace(".csv", "")).put("changes", file);
      if (files.contains(beside)) {
        plan.set("plan", new ObjectMapper().readTree(notebook.read(id, beside).content()));
      }
    }
    return plans;
  }

  private static ArrayNode limits(Magnet magnet) {
    ArrayNode list = JSON.arrayNode();
    for (Limit limit : magnet.limits()) {
      ObjectNode node =
          list.addObject()
              .put("id", limit.id())
              .put("measure", limit.measure().id())
              .put("limit", limit.limit());
      Volume volume = limit.volume();
      if (volume instanceof Volume.Sphere s) {
        node.put("shape", "sphere").put("diameter_mm", 2 * MM * s.radius());
      } else if (volume instanceof Volume.Ellipsoid e) {
        node.put("shape", "ellipsoid");
        node.putArray("diameters_mm")
            .add(2 * MM * e.semiX())
            .add(2 * MM * e.semiY())
            .add(2 * MM * e.semiZ());
      } else if (volume instanceof Volume.Cylinder c) {
        node.put("shape", "cylinder").put("diameter_mm", 2 * MM * c.radius());
        node.put("length_mm", 2 * MM * c.halfLength());
      }
    }
    return list;
  }

  /** What each survey of a magnet found, the earliest first: the magnet's life in numbers. */
  public ObjectNode history(String id) throws IOException {
    ObjectNode root = JSON.objectNode();
    ArrayNode list = root.putArray("surveys");
    for (var visit : of(id).path("visits")) {
      for (var survey : visit.path("surveys")) {
        String file = survey.path("file").asText();
        ObjectNode node =
            list.addObject().put("file", file).put("visit", visit.path("id").asText());
        node.set("time", survey.path("time"));
        try {
          Assessment a = surveys.of(id, file, null);
          node.put("centre_field_T", a.model().centreField());
          ArrayNode limits = node.putArray("limits");
          a.limits().forEach(r -> limits.add(AssessmentJson.limit(r)));
        } catch (BadInput e) {
          node.put("complaint", notebook.withoutPlace(String.valueOf(e.getMessage())));
        }
      }
    }
    return root;
  }

  /** Where pieces can go and what lies there; angles in degrees, lengths in mm. */
  public ObjectNode bore(String id) throws IOException {
    IronSystem iron = MagnetFile.read(notebook.magnetFile(id)).iron();
    ObjectNode root = JSON.objectNode();
    ArrayNode pockets = root.putArray("pockets");
    ArrayNode pieces = root.putArray("pieces");
    if (iron == null) {
      return root;
    }
    root.put("plus_z_end", iron.plusZEnd());
    for (Pocket p : iron.pockets()) {
      ObjectNode node = pockets.addObject().put("tray", p.tray()).put("pocket", p.number());
      node.put("azimuth_deg", (Math.toDegrees(p.centre().azimuth()) + 360) % 360);
      node.put("z_mm", MM * p.centre().z());
      node.put(
          "forbidden", iron.forbidden().contains(new IronSystem.PocketId(p.tray(), p.number())));
    }
    iron.pieces()
        .forEach(
            p ->
                pieces
                    .addObject()
                    .put("id", p.id())
                    .put("mass_g", MM * p.mass())
                    .put("strength", iron.strengthOf(p)));
    ArrayNode installed = root.putArray("installed");
    for (var e : iron.installed().counts().entrySet()) {
      Loading.Place place = e.getKey();
      installed
          .addObject()
          .put("tray", place.tray())
          .put("pocket", place.pocket())
          .put("piece", place.piece())
          .put("count", e.getValue());
    }
    return root;
  }
}
