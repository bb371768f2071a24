package org.fieldwright.app.compare;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.List;
import java.util.Map;
import java.util.stream.Collectors;
import org.fieldwright.app.assess.Assessment;
import org.fieldwright.app.assess.AssessmentJson;
import org.fieldwright.app.compare.Comparison.Extent;
import org.fieldwright.core.correction.RoundReview;
import org.fieldwright.core.correction.Suspicion;
import org.fieldwright.core.harmonic.Term;
import org.fieldwright.core.homogeneity.LimitResult;
import org.jspecify.annotations.Nullable;

/** The document of {@code compare --json}; its schema is published with the formats. */
public final class ComparisonJson {
  private static final JsonNodeFactory JSON = JsonNodeFactory.instance;
  private static final double MM = 1e3;

  private ComparisonJson() {}

  /** The whole comparison. */
  public static ObjectNode of(Comparison c) {
    ObjectNode root = JSON.objectNode();
    root.set("before", survey(c.before()));
    root.set("after", survey(c.after()));
    root.put("centre_shift_ppm", c.change().centreShiftPpm());
    root.put("centre_shift_uncertainty_ppm", c.change().centreUncertaintyPpm());
    root.set("harmonics", harmonics(c));
    root.set("limits", limits(c));
    Comparison.Round round = c.round();
    root.set("loaded", round == null ? JSON.nullNode() : loaded(round));
    ArrayNode warnings = root.putArray("warnings");
    c.warnings().forEach(warnings::add);
    ArrayNode inputs = root.putArray("inputs");
    java.util.stream.Stream.of(c.before(), c.after())
        .flatMap(a -> a.inputs().stream())
        .distinct()
        .forEach(i -> inputs.addObject().put("file", i.file()).put("sha256", i.sha256()));
    return root;
  }

  private static ObjectNode survey(Assessment a) {
    return JSON.objectNode()
        .put("file", a.vetted().survey().file())
        .put("readings", a.vetted().survey().readings().size())
        .put("used", a.vetted().used().size())
        .put("degree", a.model().ppm().degree())
        .put("centre_field_T", a.model().centreField());
  }

  private static ObjectNode harmonics(Comparison c) {
    ObjectNode node = JSON.objectNode();
    double r0 = c.change().ppm().referenceRadius();
    node.put("reference_radius_mm", MM * r0);
    node.put("normalisation", "schmidt");
    node.put("unit", "ppm");
    node.put("degree", c.change().ppm().degree());
    ArrayNode terms = node.putArray("terms");
    for (int i = 1; i < Term.count(c.change().ppm().degree()); i++) {
      Term t = Term.at(i);
      boolean seen = c.change().terms().contains(i);
      ObjectNode term =
          terms
              .addObject()
              .put("n", t.n())
              .put("m", t.m())
              .put("part", t.part().id())
              .put("name", t.tradeName());
      put(term, "before", !c.before().model().unseen().contains(t), value(c.before(), t, r0));
      put(term, "after", !c.after().model().unseen().contains(t), value(c.after(), t, r0));
      put(term, "change", seen, c.change().ppm().coefficient(i));
      put(term, "uncertainty", seen, c.change().standardUncertainty(t));
      Comparison.Round round = c.round();
      if (round != null) {
        term.put("predicted", round.review().predicted().coefficient(i));
        term.put("explained", round.review().explained().coefficient(i));
      }
    }
    return node;
  }

  private static double value(Assessment a, Term t, double r0) {
    return a.model().ppm().withReferenceRadius(r0).coefficient(t);
  }

  private static void put(ObjectNode node, String name, boolean known, double value) {
    if (known) {
      node.put(name, value);
    } else {
      node.putNull(name);
    }
  }

  private static ArrayNode limits(Comparison c) {
    ArrayNode node = JSON.arrayNode();
    Map<String, Extent> change = byLimit(c.extent());
    for (int k = 0; k < c.after().limits().size(); k++) {
      LimitResult before = c.before().limits().get(k);
      LimitResult after = c.after().limits().get(k);
      if (after.limit().volume() == null) {
        continue;
      }
      ObjectNode limit = node.addObject();
      limit.put("id", after.limit().id());
      limit.put("measure", after.limit().measure().id());
      limit.put("limit_ppm", after.limit().limit());
      limit.set("before", AssessmentJson.limit(before));
      limit.set("after", AssessmentJson.limit(after));
      Comparison.Round round = c.round();
      limit.put("predicted_ppm", round == null ? null : round.predicted().get(k).valuePpm());
      extent(limit, "change", change.get(after.limit().id()));
    }
    return node;
  }

  private static Map<String, Extent> byLimit(List<Extent> extents) {
    return extents.stream().collect(Collectors.toMap(Extent::limit, e -> e, (a, b) -> a));
  }

  private static void extent(ObjectNode node, String name, @Nullable Extent extent) {
    if (extent != null) {
      node.put(name + "_peak_to_peak_ppm", extent.peakToPeak());
      node.put(name + "_surface_rms_ppm", extent.rms());
    }
  }

  private static ObjectNode loaded(Comparison.Round round) {
    RoundReview review = round.review();
    ObjectNode node = JSON.objectNode();
    node.put("file", round.file());
    node.put("misfit", review.misfit());
    node.put("degrees_of_freedom", review.degreesOfFreedom());
    node.put("predicted_centre_shift_ppm", review.predicted().coefficient(0));
    ArrayNode strengths = node.putArray("strengths");
    for (RoundReview.Strength s : review.strengths()) {
      strengths
          .addObject()
          .put("piece", s.piece())
          .put("factor", s.factor())
          .put("uncertainty", s.uncertainty())
          .put("learned", s.learned());
    }
    ArrayNode left = node.putArray("left");
    Map<String, Extent> learned = byLimit(round.leftLearned());
    for (Extent e : round.left()) {
      ObjectNode rest = left.addObject().put("limit", e.limit());
      extent(rest, "by_the_sheet", e);
      extent(rest, "after_learning", learned.get(e.limit()));
    }
    ArrayNode suspicions = node.putArray("suspicions");
    review.suspicions().forEach(s -> suspicions.add(suspicion(s)));
    return node;
  }

  private static ObjectNode suspicion(Suspicion s) {
    ObjectNode node = JSON.objectNode();
    node.put("what", s.kind().id());
    node.put("tray", s.tray());
    if (s.otherTray() != null) {
      node.put("other_tray", s.otherTray());
    }
    if (s.pocket() != null) {
      node.put("pocket", s.pocket());
      node.put("piece", s.piece());
    }
    if (s.pieces() != null) {
      node.put("pieces", s.pieces());
      node.put("pieces_uncertainty", s.piecesUncertainty());
    }
    node.put("evidence", s.evidence());
    node.put("strong", s.evidence() > Suspicion.STRONG);
    return node;
  }
}
