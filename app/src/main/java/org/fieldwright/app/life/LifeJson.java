package org.fieldwright.app.life;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.List;
import org.fieldwright.app.assess.Assessment;
import org.fieldwright.app.assess.AssessmentJson;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.Term;
import org.fieldwright.core.history.Judgement;
import org.fieldwright.core.history.MagnetEvent;
import org.fieldwright.core.history.MagnetLife;
import org.fieldwright.core.history.ScalarChange;
import org.fieldwright.core.history.ShapeChange;
import org.fieldwright.core.history.Year;
import org.fieldwright.core.stability.Estimate;
import org.jspecify.annotations.Nullable;

/** The document of {@code life --json}; its schema is published with the formats. */
public final class LifeJson {
  private static final JsonNodeFactory JSON = JsonNodeFactory.instance;
  private static final double MM = 1e3;

  private final Life life;
  private final double mhzPerTesla;

  private LifeJson(Life life) {
    this.life = life;
    this.mhzPerTesla = life.magnet().array().gammaMHzPerT();
  }

  /** The whole life. */
  public static ObjectNode of(Life life) {
    return new LifeJson(life).document();
  }

  private ObjectNode document() {
    ObjectNode root = JSON.objectNode();
    root.put("magnet", life.magnet().name());
    root.put("serial", life.magnet().serial());
    root.put("level", MagnetLife.LEVEL);
    MagnetLife judged = life.judged();
    root.set("reference", judged == null ? JSON.nullNode() : reference(judged));
    root.set("surveys", surveys(judged));
    root.set("decays", judged == null ? JSON.arrayNode() : decays(judged));
    root.set("drifts", judged == null ? JSON.arrayNode() : drifts(judged));
    root.set("repeatability", judged == null ? JSON.nullNode() : repeatability(judged));
    root.set("events", events(life.events()));
    ArrayNode years = root.putArray("years");
    life.years().forEach(y -> years.add(year(y)));
    ArrayNode warnings = root.putArray("warnings");
    life.warnings().forEach(warnings::add);
    ArrayNode inputs = root.putArray("inputs");
    life.inputs().forEach(i -> inputs.addObject().put("file", i.file()).put("sha256", i.sha256()));
    return root;
  }

  private ObjectNode reference(MagnetLife judged) {
    return JSON.objectNode()
        .put("field_T", judged.referenceField())
        .put("frequency_MHz", judged.referenceField() * mhzPerTesla)
        .put("radius_mm", MM * judged.referenceRadius())
        .put("normalisation", "schmidt");
  }

  private ArrayNode surveys(@Nullable MagnetLife judged) {
    ArrayNode list = JSON.arrayNode();
    for (Life.Survey s : life.surveys()) {
      ObjectNode node = list.addObject();
      node.put("file", s.measured().file());
      node.put("visit", s.visit());
      node.put("time", s.measured().at() == null ? null : String.valueOf(s.measured().at()));
      Assessment found = s.found();
      if (found == null) {
        node.put("complaint", s.complaint());
      } else {
        found(node, found, judged);
      }
      Judgement j = life.judgement(s);
      node.set("judgement", j == null ? JSON.nullNode() : judgement(j));
    }
    return list;
  }

  private void found(ObjectNode node, Assessment found, @Nullable MagnetLife judged) {
    double field = found.model().centreField();
    node.put("centre_field_T", field);
    node.put("frequency_MHz", field * mhzPerTesla);
    node.put("centre_uncertainty_ppm", found.model().standardUncertainty(Term.at(0)));
    if (judged != null) {
      node.put("centre_ppm", 1e6 * (field / judged.referenceField() - 1));
      node.set("terms", terms(found, judged));
    }
    ArrayNode limits = node.putArray("limits");
    found.limits().forEach(r -> limits.add(AssessmentJson.limit(r)));
  }

  /** In ppm of the life's field and at its radius. */
  private static ArrayNode terms(Assessment found, MagnetLife judged) {
    double scale = found.model().centreField() / judged.referenceField();
    double ratio = judged.referenceRadius() / found.model().ppm().referenceRadius();
    Expansion ppm = found.model().ppm().withReferenceRadius(judged.referenceRadius()).times(scale);
    ArrayNode terms = JSON.arrayNode();
    for (int i = 1; i < Term.count(ppm.degree()); i++) {
      Term t = Term.at(i);
      ObjectNode node = term(terms, t);
      if (found.model().unseen().contains(t)) {
        node.putNull("value").putNull("uncertainty");
      } else {
        node.put("value", ppm.coefficient(i));
        node.put("uncertainty", Math.pow(ratio, t.n()) * found.model().standardUncertainty(t));
      }
    }
    return terms;
  }

  private static ObjectNode term(ArrayNode terms, Term t) {
    return terms
        .addObject()
        .put("n", t.n())
        .put("m", t.m())
        .put("part", t.part().id())
        .put("name", t.tradeName());
  }

  private static ObjectNode judgement(Judgement j) {
    ObjectNode node = JSON.objectNode();
    node.put("since", j.since().file());
    node.put("changed", j.changed());
    node.put("iron_loaded", j.snapshot().loadedSince() != null);
    node.set("events", events(j.between()));
    node.set("shape", j.shape() == null ? JSON.nullNode() : shape(j.shape()));
    ArrayNode limits = node.putArray("limits");
    j.limits().forEach((id, c) -> limits.add(scalar(c, "ppm").put("id", id)));
    node.put("centre_shift_ppm", j.fieldShiftPpm().value());
    node.put("centre_shift_uncertainty_ppm", j.fieldShiftPpm().uncertainty());
    node.put("centre_basis", j.fieldBasis().id());
    node.set("centre", j.field() == null ? JSON.nullNode() : scalar(j.field(), "ppm"));
    return node;
  }

  private static ObjectNode shape(ShapeChange c) {
    ObjectNode node = JSON.objectNode();
    node.put("changed", c.changed());
    node.put("misfit", c.misfit());
    node.put("terms", c.terms());
    node.put("degrees_of_freedom", finite(c.degreesOfFreedom()));
    node.put("chance", c.chance());
    node.put("corrected_chance", c.correctedChance());
    ArrayNode outstanding = node.putArray("outstanding");
    for (ShapeChange.Outstanding o : c.outstanding()) {
      term(outstanding, o.term())
          .put("difference_ppm", o.differencePpm())
          .put("uncertainty_ppm", o.uncertainty())
          .put("corrected_chance", o.correctedChance());
    }
    return node;
  }

  private static ObjectNode scalar(ScalarChange c, String unit) {
    return JSON.objectNode()
        .put("changed", c.changed())
        .put("found_" + unit, c.found())
        .put("expected_" + unit, c.expected())
        .put("uncertainty_" + unit, c.uncertainty())
        .put("degrees_of_freedom", finite(c.degreesOfFreedom()))
        .put("chance", c.chance())
        .put("corrected_chance", c.correctedChance());
  }

  /** Null for a variance that is stated, not estimated. */
  private static @Nullable Double finite(double degreesOfFreedom) {
    return Double.isFinite(degreesOfFreedom) ? (Double) degreesOfFreedom : null;
  }

  private ArrayNode decays(MagnetLife judged) {
    ArrayNode list = JSON.arrayNode();
    for (MagnetLife.Decay d : judged.decays()) {
      ObjectNode node = list.addObject();
      node.put("from", d.from().toString()).put("to", d.to().toString());
      node.put("surveys", d.surveys());
      Estimate rate = d.ppmPerYear();
      double hertz = judged.referenceField() * mhzPerTesla; // of one ppm
      node.put("ppm_per_year", rate == null ? null : rate.value());
      node.put("uncertainty_ppm_per_year", rate == null ? null : rate.uncertainty());
      node.put("Hz_per_year", rate == null ? null : hertz * rate.value());
      node.put("uncertainty_Hz_per_year", rate == null ? null : hertz * rate.uncertainty());
    }
    return list;
  }

  private static ArrayNode drifts(MagnetLife judged) {
    ArrayNode list = JSON.arrayNode();
    for (MagnetLife.DriftJudgement d : judged.drifts()) {
      ObjectNode node = list.addObject();
      node.put("file", d.reading().file()).put("visit", d.reading().visit());
      node.put("time", d.reading().time().toString());
      node.put("ppm_per_hour", d.reading().ppmPerHour().value());
      node.put("uncertainty_ppm_per_hour", d.reading().ppmPerHour().uncertainty());
      node.set("change", d.change() == null ? JSON.nullNode() : scalar(d.change(), "ppm_per_hour"));
    }
    return list;
  }

  private static ObjectNode repeatability(MagnetLife judged) {
    MagnetLife.Repeatability r = judged.repeatability();
    ObjectNode node = JSON.objectNode();
    node.put("visits", r.visits());
    node.put("known", r.known());
    ArrayNode byDegree = node.putArray("harmonic_ppm");
    for (int n = 1; n < r.harmonicPpm().length; n++) {
      byDegree.add(r.harmonicPpm()[n]);
    }
    node.put("centre_ppm", r.fieldPpm());
    node.put("drift_ppm_per_hour", r.driftPpmPerHour());
    return node;
  }

  private static ArrayNode events(List<MagnetEvent> events) {
    ArrayNode list = JSON.arrayNode();
    for (MagnetEvent e : events) {
      list.addObject()
          .put("time", e.time().toString())
          .put("kind", e.kind().id())
          .put("note", e.note());
    }
    return list;
  }

  private static ObjectNode year(Year y) {
    ObjectNode node = JSON.objectNode();
    node.put("year", y.year());
    node.put("visits", y.visits());
    node.put("surveys", y.surveys());
    ArrayNode limits = node.putArray("limits");
    for (Year.OfLimit l : y.limits()) {
      limits
          .addObject()
          .put("id", l.last().limit().id())
          .put("least_ppm", l.leastPpm())
          .put("last_ppm", l.last().valuePpm())
          .put("last_uncertainty_ppm", l.last().uncertaintyPpm())
          .put("verdict", l.last().verdict().id());
    }
    node.put("centre_field_T", y.fieldT());
    node.put("frequency_MHz", y.frequencyMHz());
    node.put("drift_ppm_per_hour", y.drift() == null ? null : y.drift().ppmPerHour().value());
    node.put(
        "drift_uncertainty_ppm_per_hour",
        y.drift() == null ? null : y.drift().ppmPerHour().uncertainty());
    node.put("pieces_in", y.piecesIn()).put("pieces_out", y.piecesOut());
    node.put("iron_in_g", y.ironInG()).put("iron_out_g", y.ironOutG());
    node.set("events", events(y.events()));
    ArrayNode changed = node.putArray("changed");
    y.changed().forEach(j -> changed.add(j.snapshot().file()));
    return node;
  }
}
