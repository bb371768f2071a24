package org.fieldwright.app.notebook;

import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.fieldwright.adapters.files.FileKind;
import org.fieldwright.adapters.files.MagnetFile;
import org.fieldwright.app.assess.Assessment;
import org.fieldwright.app.assess.AssessmentJson;
import org.fieldwright.app.correct.RecordAnswer;
import org.fieldwright.app.correct.RecordService;
import org.fieldwright.app.life.Life;
import org.fieldwright.app.life.LifeJson;
import org.fieldwright.app.life.LifeService;
import org.fieldwright.app.life.Visits;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.correction.IronSystem;
import org.fieldwright.core.correction.Loading;
import org.fieldwright.core.correction.Pocket;
import org.fieldwright.core.geometry.Volume;
import org.fieldwright.core.homogeneity.Limit;
import org.fieldwright.core.magnet.Magnet;
import org.jspecify.annotations.Nullable;

/** What the notebook holds of a magnet: its files by what they are, and its visits over time. */
public final class MagnetOverview {
  private static final double MM = 1e3;
  private static final JsonNodeFactory JSON = JsonNodeFactory.instance;

  private final NotebookService notebook;
  private final AssessedSurveys surveys;
  private final VisitFiling filing;
  private final LifeService lives = new LifeService();

  public MagnetOverview(NotebookService notebook, AssessedSurveys surveys) {
    this.notebook = notebook;
    this.surveys = surveys;
    this.filing = new VisitFiling(notebook);
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
    try {
      notebook.bringInLine(id);
      if (!notebook.files(id).contains(NotebookService.MAGNET_FILE)) {
        node.put("name", id).put("complaint", "there is no magnet.yaml yet: add the magnet file");
        return null;
      }
      Magnet magnet = MagnetFile.read(notebook.magnetFile(id));
      node.put("name", magnet.name()).put("serial", magnet.serial());
      node.put("field_T", magnet.nominalField());
      node.put("gamma_MHz_per_T", magnet.array().gammaMHzPerT());
      ArrayNode probes = node.putArray("probes");
      magnet.array().probes().forEach(p -> probes.add(p.id()));
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
    List<Visits.Measured> dated = new ArrayList<>();
    for (String file : files) {
      FileKind kind = FileKind.of(notebook.existing(id, file));
      list.addObject().put("file", file).put("kind", kind.id());
      if (magnet != null && (kind == FileKind.SURVEY || kind == FileKind.FIELD_LOG)) {
        dated.add(lives.measured(notebook.existing(id, file), kind, magnet));
      }
    }
    if (magnet != null) {
      root.set("limits", limits(magnet));
      IronSystem iron = magnet.iron();
      root.put("can_load", iron != null);
      root.put("can_rehearse", files.contains(SampleMagnet.SCENARIO));
    }
    List<Visits.Visit> visits = Visits.of(dated);
    filing.file(id, visits);
    root.set("visits", visits(visits));
    root.set("plans", plans(id, files));
    root.set(
        "rounds",
        magnet == null || magnet.iron() == null
            ? JSON.arrayNode()
            : RecordAnswer.json(RecordService.rounds(notebook.magnetFile(id)), List.of())
                .path("rounds"));
    return root;
  }

  private ArrayNode visits(List<Visits.Visit> found) {
    ArrayNode visits = JSON.arrayNode();
    for (Visits.Visit v : found) {
      ObjectNode node = visits.addObject().put("id", v.id());
      add(node.putArray("surveys"), v.surveys());
      add(node.putArray("logs"), v.logs());
    }
    return visits;
  }

  private void add(ArrayNode list, List<Visits.Measured> measured) {
    for (Visits.Measured m : measured) {
      String complaint = m.complaint();
      list.addObject()
          .put("file", m.file())
          .put("time", m.at() == null ? null : String.valueOf(m.at()))
          .put("complaint", complaint == null ? null : notebook.withoutPlace(complaint));
    }
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

  /** The magnet's life, every survey held against those before. */
  public ObjectNode life(String id) throws IOException {
    return LifeJson.of(lived(id));
  }

  Life lived(String id) throws IOException {
    return lives.of(notebook.magnetFile(id), survey -> assessed(id, survey));
  }

  private Assessment assessed(String id, Path survey) throws IOException {
    try {
      return surveys.of(id, String.valueOf(survey.getFileName()), null);
    } catch (BadInput e) {
      throw new BadInput(notebook.withoutPlace(String.valueOf(e.getMessage())), e);
    }
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
