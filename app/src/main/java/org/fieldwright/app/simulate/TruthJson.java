package org.fieldwright.app.simulate;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.List;
import java.util.Objects;
import java.util.TreeMap;
import org.fieldwright.app.assess.AssessmentJson;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.Normalisation;
import org.fieldwright.core.harmonic.Term;
import org.fieldwright.core.reading.Reading;
import org.fieldwright.core.reading.Survey;
import org.fieldwright.core.simulation.ArrayState.ProbeState;
import org.fieldwright.core.simulation.Fault;
import org.fieldwright.core.simulation.Scenario;
import org.fieldwright.core.simulation.SurveyConditions;

/** The document {@code truth.json}; docs/schemas/truth.schema.json describes it. */
final class TruthJson {
  private static final JsonNodeFactory JSON = JsonNodeFactory.instance;
  private static final double MM = 1e3;
  private static final int WRITTEN_DEGREE = 20;

  private TruthJson() {}

  /** A survey that was taken and how. */
  record Taken(Survey survey, SurveyConditions conditions) {}

  static ObjectNode of(Scenario scenario, Truth truth, List<Taken> surveys) {
    ObjectNode root = JSON.objectNode();
    root.put("scenario", scenario.name());
    root.put("seed", scenario.seed());
    double gamma = scenario.magnet().array().gammaMHzPerT();
    root.putObject("centre")
        .put("field_T", truth.centreField())
        .put("magnitude_T", truth.centreMagnitude())
        .put("frequency_MHz", truth.centreMagnitude() * gamma)
        .put("gamma_MHz_per_T", gamma);
    root.set("harmonics", harmonics(truth));
    ArrayNode limits = root.putArray("limits");
    truth.limits().forEach(limit -> limits.add(AssessmentJson.limit(limit)));
    ArrayNode taken = root.putArray("surveys");
    surveys.forEach(survey -> taken.add(survey(survey)));
    ArrayNode probes = root.putArray("probes");
    scenario.array().probes().forEach(probe -> probes.add(probe(probe)));
    ObjectNode strength = root.putObject("iron_strength");
    new TreeMap<>(scenario.trueStrength()).forEach(strength::put);
    return root;
  }

  private static ObjectNode harmonics(Truth truth) {
    ObjectNode node = JSON.objectNode();
    node.put("reference_radius_mm", MM * truth.ppm().referenceRadius());
    node.put("normalisation", Normalisation.SCHMIDT.id());
    node.put("unit", "ppm");
    node.put("degree", WRITTEN_DEGREE);
    ArrayNode terms = node.putArray("terms");
    for (int i = 1; i < Term.count(WRITTEN_DEGREE); i++) {
      Term t = Term.at(i);
      terms
          .addObject()
          .put("n", t.n())
          .put("m", t.m())
          .put("part", t.part().id())
          .put("name", t.tradeName())
          .put("value", truth.ppm().coefficient(i));
    }
    return node;
  }

  private static ObjectNode survey(Taken taken) {
    SurveyConditions conditions = taken.conditions();
    ObjectNode node = JSON.objectNode();
    node.put("file", taken.survey().file());
    node.put("readings", taken.survey().readings().size());
    node.put("drift_ppm_per_hour", conditions.driftPpmPerHour());
    ArrayNode faults = node.putArray("faults");
    for (Fault fault : conditions.faults()) {
      faults.add(fault(fault, taken.survey()));
    }
    return node;
  }

  private static ObjectNode fault(Fault fault, Survey survey) {
    ObjectNode node = JSON.objectNode();
    if (fault instanceof Fault.NoLock f) {
      return at(node.put("kind", "no_lock"), survey, f.probe(), f.angleDeg());
    }
    if (fault instanceof Fault.Outlier f) {
      return at(node.put("kind", "outlier"), survey, f.probe(), f.angleDeg()).put("ppm", f.ppm());
    }
    if (fault instanceof Fault.WrongFrequency f) {
      return at(node.put("kind", "wrong_frequency"), survey, f.probe(), f.angleDeg())
          .put("frequency_MHz", f.frequencyMHz());
    }
    if (fault instanceof Fault.ProbeOffset f) {
      return node.put("kind", "probe_offset").put("probe", f.probe()).put("ppm", f.ppm());
    }
    Fault.WrongAngle f = (Fault.WrongAngle) fault;
    return node.put("kind", "wrong_angle")
        .put("angle_deg", f.angleDeg())
        .put("error_deg", f.errorDeg());
  }

  private static ObjectNode at(ObjectNode node, Survey survey, int probe, double angleDeg) {
    for (Reading r : survey.readings()) {
      if (Objects.equals(r.probe(), probe) && Objects.equals(r.angleDeg(), angleDeg)) {
        return node.put("row", r.row()).put("probe", probe).put("angle_deg", angleDeg);
      }
    }
    throw new IllegalStateException("no reading of probe " + probe + " at " + angleDeg + "°");
  }

  private static ObjectNode probe(ProbeState probe) {
    Vec3 d = probe.displacement();
    ObjectNode node = JSON.objectNode();
    node.put("id", probe.probe().id());
    node.putArray("displacement_mm").add(MM * d.x()).add(MM * d.y()).add(MM * d.z());
    node.put("offset_ppm", probe.offsetPpm());
    return node;
  }
}
