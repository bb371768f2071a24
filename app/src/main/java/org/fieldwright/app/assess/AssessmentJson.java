package org.fieldwright.app.assess;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.List;
import java.util.Locale;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.ArrayPlacement;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.harmonic.Normalisation;
import org.fieldwright.core.harmonic.Term;
import org.fieldwright.core.homogeneity.LimitResult;
import org.fieldwright.core.reading.DegreeTried;
import org.fieldwright.core.reading.Finding;
import org.fieldwright.core.reading.VettedSurvey;
import org.fieldwright.core.uncertainty.UncertaintyBudget;
import org.jspecify.annotations.Nullable;

/** The document of {@code assess --json}; its schema is published with the formats. */
public final class AssessmentJson {
  private static final JsonNodeFactory JSON = JsonNodeFactory.instance;
  private static final double MM = 1e3;

  private AssessmentJson() {}

  /**
   * The whole assessment.
   *
   * @param normalisation in which the coefficients are written
   */
  public static ObjectNode of(Assessment a, Normalisation normalisation) {
    ObjectNode root = JSON.objectNode();
    root.set("survey", survey(a));
    root.set("centre", centre(a));
    ObjectNode harmonics = harmonics(a.model(), normalisation);
    harmonics.set("degrees_tried", degreesTried(a.fitted().degreesTried()));
    root.set("harmonics", harmonics);
    root.put("readings_peak_to_peak_ppm", a.fitted().readingsPeakToPeakPpm());
    root.set("limits", limits(a.limits()));
    root.set("centring", centring(a));
    ArrayNode placement = root.putArray("placement");
    a.placement().forEach(p -> placement.add(placement(p)));
    ArrayNode open = root.putArray("handlings_not_told_apart");
    if (!a.placement().isEmpty()) {
      ArrayPlacement.notToldApart(a.placement()).forEach(h -> open.add(id(h)));
    }
    ArrayNode inputs = root.putArray("inputs");
    a.inputs().forEach(i -> inputs.addObject().put("file", i.file()).put("sha256", i.sha256()));
    return root;
  }

  private static ObjectNode survey(Assessment a) {
    VettedSurvey v = a.vetted();
    ObjectNode node = JSON.objectNode();
    node.put("file", v.survey().file());
    node.put("readings", v.survey().readings().size());
    node.put("used", v.used().size());
    node.put("revisits", v.revisits().size());
    ArrayNode aside = node.putArray("set_aside");
    for (VettedSurvey.SetAside s : v.setAside()) {
      aside
          .addObject()
          .put("row", s.reading().row())
          .put("probe", s.reading().probe())
          .put("angle_deg", s.reading().angleDeg())
          .put("why", s.why().id())
          .put("ppm", s.ppm());
    }
    ArrayNode probes = node.putArray("suspect_probes");
    for (VettedSurvey.SuspectProbe p : v.suspectProbes()) {
      probes
          .addObject()
          .put("probe", p.probe())
          .put("offset_ppm", p.offsetPpm())
          .put("uncertainty_ppm", p.uncertaintyPpm());
    }
    ArrayNode angles = node.putArray("suspect_angles");
    for (VettedSurvey.SuspectAngle s : v.suspectAngles()) {
      angles
          .addObject()
          .put("angle_deg", s.angleDeg())
          .put("error_deg", s.errorDeg())
          .put("uncertainty_deg", s.uncertaintyDeg());
    }
    ArrayNode freed = node.putArray("freed");
    v.freed().forEach(f -> freed.add(freed(f)));
    ArrayNode findings = node.putArray("findings");
    a.findings().forEach(f -> findings.add(finding(f)));
    VettedSurvey.Drift drift = v.drift();
    node.put("drift_ppm_per_hour", drift == null ? null : drift.ppmPerHour());
    node.put(
        "drift_uncertainty_ppm_per_hour", drift == null ? null : drift.uncertaintyPpmPerHour());
    node.put("drift_spread_ppm", drift == null ? null : (Double) drift.spreadPpm());
    node.put("drift_revisits", drift == null ? 0 : drift.pairs());
    ArrayNode pieces = node.putArray("drift_pieces_ppm_per_hour");
    if (drift != null) {
      drift.piecesPpmPerHour().forEach(pieces::add);
    }
    ArrayNode warnings = node.putArray("warnings");
    a.warnings().forEach(warnings::add);
    return node;
  }

  private static ObjectNode freed(VettedSurvey.Freed freed) {
    ObjectNode node = JSON.objectNode();
    if (freed instanceof VettedSurvey.Freed.Offset o) {
      node.put("what", "probe_offset").put("probe", o.probe()).put("unit", "ppm");
    } else if (freed instanceof VettedSurvey.Freed.Angle a) {
      node.put("what", "angle_error").put("angle_deg", a.angleDeg()).put("unit", "deg");
    } else {
      node.put("what", "drift").put("unit", "ppm_per_hour");
    }
    return node.put("value", freed.value()).put("uncertainty", freed.uncertainty());
  }

  private static ObjectNode finding(Finding f) {
    return JSON.objectNode()
        .put("what", f.what().id())
        .put("words", f.words())
        .put("evidence", f.evidence())
        .put("estimate", f.estimate())
        .put("uncertainty", f.uncertainty())
        .put("unit", f.unit())
        .put("suggestion", f.suggestion());
  }

  private static ObjectNode centre(Assessment a) {
    double field = a.model().centreField();
    double gamma = a.magnet().array().gammaMHzPerT();
    return JSON.objectNode()
        .put("field_T", field)
        .put("frequency_MHz", field * gamma)
        .put("gamma_MHz_per_T", gamma)
        .put("uncertainty_ppm", a.model().standardUncertainty(Term.at(0)));
  }

  private static ObjectNode harmonics(FieldModel model, Normalisation normalisation) {
    ObjectNode node = JSON.objectNode();
    node.put("reference_radius_mm", MM * model.ppm().referenceRadius());
    node.put("normalisation", normalisation.id());
    node.put("unit", "ppm");
    node.put("degree", model.ppm().degree());
    node.put("degree_reason", model.degreeReason());
    node.put("condition", model.condition());
    node.put("residual_rms_ppm", model.residualRmsPpm());
    node.put("degrees_of_freedom", model.degreesOfFreedom());
    ArrayNode terms = node.putArray("terms");
    for (int i = 1; i < Term.count(model.ppm().degree()); i++) {
      Term t = Term.at(i);
      double factor = normalisation.coefficientFromSchmidt(t.n(), t.m());
      boolean seen = !model.unseen().contains(t);
      terms
          .addObject()
          .put("n", t.n())
          .put("m", t.m())
          .put("part", t.part().id())
          .put("name", t.tradeName())
          .put("value", unless(!seen, factor * model.ppm().coefficient(i)))
          .put("uncertainty", unless(!seen, factor * model.standardUncertainty(t)));
    }
    return node;
  }

  private static ArrayNode degreesTried(List<DegreeTried> tried) {
    ArrayNode node = JSON.arrayNode();
    for (DegreeTried t : tried) {
      boolean finite = Double.isFinite(t.leaveOneOutPpm());
      node.addObject()
          .put("degree", t.degree())
          .put("leave_one_out_ppm", unless(!finite, t.leaveOneOutPpm()));
    }
    return node;
  }

  private static @Nullable Double unless(boolean absent, double value) {
    return absent ? null : value;
  }

  private static ObjectNode centring(Assessment a) {
    ObjectNode node = JSON.objectNode();
    if (a.centre() == null) {
      node.putNull("magnetic_centre_mm").putNull("uncertainty_mm");
    } else {
      node.set("magnetic_centre_mm", vector(a.centre().at(), MM));
      node.set("uncertainty_mm", vector(a.centre().uncertainty(), MM));
    }
    node.set("limits_at_centre", limits(a.limitsAtCentre()));
    return node;
  }

  private static String id(ArrayPlacement.Handling handling) {
    return handling.name().toLowerCase(Locale.ROOT);
  }

  private static ObjectNode placement(ArrayPlacement p) {
    ObjectNode node = JSON.objectNode();
    node.put("handling", id(p.handling()));
    node.set("shift_mm", vector(p.shift(), MM));
    node.set("shift_uncertainty_mm", vector(p.shiftUncertainty(), MM));
    node.set("turn_mrad", vector(p.turn(), MM));
    node.set("turn_uncertainty_mrad", vector(p.turnUncertainty(), MM));
    node.put("chi_square_unmoved", p.chiSquareUnmoved());
    node.put("chi_square", p.chiSquare());
    node.put("degrees_of_freedom", p.degreesOfFreedom());
    return node;
  }

  /** The three components times a factor. */
  public static ArrayNode vector(Vec3 v, double factor) {
    return JSON.arrayNode().add(factor * v.x()).add(factor * v.y()).add(factor * v.z());
  }

  private static ArrayNode limits(List<LimitResult> limits) {
    ArrayNode node = JSON.arrayNode();
    for (LimitResult r : limits) {
      node.add(limit(r));
    }
    return node;
  }

  /** One limit's result, as every document writes it. */
  public static ObjectNode limit(LimitResult r) {
    ObjectNode node = JSON.objectNode();
    node.put("id", r.limit().id());
    node.put("measure", r.limit().measure().id());
    node.put("value_ppm", r.valuePpm());
    node.put("uncertainty_ppm", r.uncertaintyPpm());
    node.put("noise_bias_ppm", r.noiseBiasPpm());
    if (r.interval95() != null) {
      node.putArray("interval_95_ppm").add(r.interval95().low()).add(r.interval95().high());
    }
    if (r.budget() != null) {
      ArrayNode budget = node.putArray("budget");
      for (UncertaintyBudget.Line line : r.budget().lines()) {
        budget
            .addObject()
            .put("source", line.source().name().toLowerCase(Locale.ROOT))
            .put("uncertainty_ppm", line.uncertaintyPpm());
      }
    }
    boolean drift = r.limit().volume() == null;
    node.put(drift ? "limit_ppm_per_hour" : "limit_ppm", r.limit().limit());
    node.put("verdict", r.verdict().id());
    if (!r.extremes().isEmpty()) {
      ArrayNode extremes = node.putArray("extremes");
      for (LimitResult.Extreme e : r.extremes()) {
        ObjectNode x = extremes.addObject().put("ppm", e.ppm());
        x.set("at_mm", vector(e.at(), MM));
      }
    }
    node.put("extrapolated", r.extrapolated());
    return node;
  }
}
