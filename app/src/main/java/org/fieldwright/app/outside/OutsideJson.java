package org.fieldwright.app.outside;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.List;
import java.util.stream.Stream;
import org.fieldwright.app.assess.Assessment;
import org.fieldwright.app.assess.AssessmentJson;
import org.fieldwright.core.correction.IronSystem;
import org.fieldwright.core.correction.Pocket;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.magnetostatics.Constants;
import org.fieldwright.core.outside.OutsideFinding;
import org.fieldwright.core.outside.OutsideSource;
import org.jspecify.annotations.Nullable;

/** The search for iron outside as one document; {@code docs/schemas/outside-iron.schema.json}. */
public final class OutsideJson {
  private static final JsonNodeFactory JSON = JsonNodeFactory.instance;
  private static final double MM = 1e3;
  private static final double GRAMS = 1e3;

  private OutsideJson() {}

  /** The whole document. */
  public static ObjectNode of(OutsideAnswer a) {
    OutsideFinding f = a.finding();
    Assessment since = a.since();
    ObjectNode node = JSON.objectNode();
    node.put("survey", OutsideService.name(a.survey()));
    node.put("since", since == null ? null : OutsideService.name(since));
    node.put("basis", a.basis().id());
    node.put("stopped", a.stopped());
    node.put("readings", f.readings());
    node.put("read_to_mm", MM * f.radius());
    node.put("verdict", f.verdict().id());
    node.put("moments", f.directionFree() ? "any_direction" : "along_field");
    node.put("degree", f.degree());
    node.put("scatter_ppm", f.scatter());
    node.put("left_ppm", f.left());
    ArrayNode sources = node.putArray("sources");
    f.sources().forEach(s -> sources.add(source(s, a.survey().magnet().fieldAxis())));
    ArrayNode elsewhere = node.putArray("elsewhere");
    for (List<Vec3> places : f.elsewhere()) {
      ArrayNode one = elsewhere.addArray();
      places.forEach(p -> one.add(mm(p)));
    }
    node.set("evidence", evidence(f));
    ArrayNode least = node.putArray("least");
    f.least()
        .forEach(
            l ->
                least
                    .addObject()
                    .put("distance_mm", MM * l.distance())
                    .put("iron_g", GRAMS * l.iron()));
    node.set("bore", bore(a.survey().magnet().iron()));
    ArrayNode warnings = node.putArray("warnings");
    a.warnings().forEach(warnings::add);
    ArrayNode inputs = node.putArray("inputs");
    (since == null ? Stream.of(a.survey()) : Stream.of(a.survey(), since))
        .flatMap(s -> s.inputs().stream())
        .distinct()
        .forEach(i -> inputs.addObject().put("file", i.file()).put("sha256", i.sha256()));
    return node;
  }

  private static ObjectNode source(OutsideSource s, Vec3 axis) {
    ObjectNode node = JSON.objectNode();
    node.set("at_mm", mm(s.position()));
    node.set("uncertainty_mm", mm(s.uncertainty()));
    node.put("from_centre_mm", MM * s.position().norm());
    node.put("from_axis_mm", MM * Math.hypot(s.position().x(), s.position().y()));
    node.put("azimuth_deg", Math.toDegrees(s.position().azimuth()));
    ArrayNode ellipsoid = node.putArray("ellipsoid_95_mm");
    s.ellipsoid().forEach(v -> ellipsoid.add(mm(v)));
    node.put("iron_g", GRAMS * s.iron());
    node.put("iron_uncertainty_g", GRAMS * s.ironUncertainty());
    node.set("moment_A_m2", AssessmentJson.vector(s.moment(), 1 / Constants.MU_0));
    node.put("moment_uncertainty_A_m2", s.sizeUncertainty() / Constants.MU_0);
    node.put("along_field", s.moment().dot(axis) >= 0);
    return node;
  }

  private static ArrayNode evidence(OutsideFinding f) {
    ArrayNode list = JSON.arrayNode();
    for (OutsideFinding.Evidence e : f.evidence()) {
      list.addObject()
          .put("sources", e.sources())
          .put("moments", e.directionFree() ? "any_direction" : "along_field")
          .put("degree", e.degree())
          .put("misfit", e.misfit())
          .put("unknowns", e.unknowns())
          .put("against_none", e.againstNone());
    }
    return list;
  }

  /** The cylinder on which the trays' pockets lie; null where the magnet has none. */
  private static @Nullable ObjectNode bore(@Nullable IronSystem iron) {
    if (iron == null || iron.pockets().isEmpty()) {
      return null;
    }
    double radius = 0;
    double half = 0;
    for (Pocket pocket : iron.pockets()) {
      Vec3 p = pocket.centre();
      radius = Math.max(radius, Math.hypot(p.x(), p.y()));
      half = Math.max(half, Math.abs(p.z()));
    }
    return JSON.objectNode().put("radius_mm", MM * radius).put("half_length_mm", MM * half);
  }

  private static ArrayNode mm(Vec3 v) {
    return AssessmentJson.vector(v, MM);
  }
}
