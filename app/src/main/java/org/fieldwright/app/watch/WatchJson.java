package org.fieldwright.app.watch;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.List;
import org.fieldwright.core.stability.DeviationKind;
import org.fieldwright.core.stability.DeviationTable;
import org.fieldwright.core.stability.DriftVerdict;
import org.fieldwright.core.stability.Estimate;
import org.fieldwright.core.stability.LogEvent;
import org.fieldwright.core.stability.NoiseShares;
import org.fieldwright.core.stability.Ramp;
import org.fieldwright.core.stability.StabilityReport;
import org.fieldwright.core.stability.Surroundings;
import org.fieldwright.core.stability.Trend;
import org.jspecify.annotations.Nullable;

/** The document of {@code watch --json}; docs/schemas/watch.schema.json describes it. */
public final class WatchJson {
  private static final JsonNodeFactory JSON = JsonNodeFactory.instance;
  private static final double HOUR = 3600;

  private WatchJson() {}

  /** The whole answer. */
  public static ObjectNode of(Watched w) {
    StabilityReport r = w.report();
    ObjectNode root = JSON.objectNode();
    root.set("log", log(w));
    root.set("drift", drift(w));
    root.set("trend", trend(r));
    root.set("forecast", forecast(w));
    root.set("surroundings", surroundings(r.surroundings()));
    root.set("events", events(w));
    root.set("ramp", ramp(w));
    root.set("deviations", deviations(r));
    root.set("limits", limits(w));
    ArrayNode inputs = root.putArray("inputs");
    w.inputs().forEach(i -> inputs.addObject().put("file", i.file()).put("sha256", i.sha256()));
    return root;
  }

  private static ObjectNode log(Watched w) {
    StabilityReport r = w.report();
    ObjectNode node = JSON.objectNode();
    node.put("file", w.file());
    if (w.probe() != null) {
      node.put("probe", w.probe());
    }
    node.put("start", w.log().start().toString());
    node.put("end", w.at(w.log().duration()).toString());
    node.put("duration_hours", w.log().duration() / HOUR);
    node.put("interval_s", r.interval());
    node.put("samples", w.log().size());
    node.put("used", r.used());
    node.put("reference_field_T", r.referenceField());
    ArrayNode warnings = node.putArray("warnings");
    r.warnings().forEach(warnings::add);
    return node;
  }

  private static @Nullable ObjectNode drift(Watched w) {
    StabilityReport r = w.report();
    if (r.drift() == null || r.trend() == null) {
      return null;
    }
    ObjectNode node = JSON.objectNode();
    put(node, "", "ppm_per_hour", r.drift());
    node.put("at", w.at(w.log().duration()).toString());
    node.put("form", r.trend().kind().id());
    put(node, "slope_", "ppm_per_hour", r.slope());
    put(node, "slope_as_measured_", "ppm_per_hour", r.slopeAsMeasured());
    return node;
  }

  /** Value and uncertainty under prefix + unit and prefix + "uncertainty_" + unit. */
  private static void put(ObjectNode node, String prefix, String unit, @Nullable Estimate e) {
    node.put(prefix + unit, e == null ? null : e.value());
    node.put(prefix + "uncertainty_" + unit, e == null ? null : e.uncertainty());
  }

  private static @Nullable ObjectNode trend(StabilityReport r) {
    Trend trend = r.trend();
    if (trend == null) {
      return null;
    }
    ObjectNode node = JSON.objectNode();
    node.put("form", trend.kind().id());
    ArrayNode parameters = node.putArray("parameters");
    for (Trend.Parameter p : trend.parameters()) {
      parameters
          .addObject()
          .put("name", p.name())
          .put("value", p.value())
          .put("uncertainty", p.uncertainty());
    }
    ArrayNode forms = node.putArray("forms");
    r.alternatives().forEach(f -> forms.addObject().put("form", f.kind().id()).put("bic", f.bic()));
    NoiseShares noise = r.noise();
    if (noise != null) {
      node.putObject("noise_shares")
          .put("white", noise.white())
          .put("flicker", noise.flicker())
          .put("random_walk", noise.randomWalk());
    }
    return node;
  }

  private static ArrayNode forecast(Watched w) {
    ArrayNode node = JSON.arrayNode();
    for (StabilityReport.ForecastPoint p : w.report().forecast()) {
      ObjectNode point = node.addObject();
      point.put("time", w.at(p.time()).toString());
      point.put("hours_after_log", (p.time() - w.log().duration()) / HOUR);
      put(point, "field_", "ppm", p.fieldPpm());
      put(point, "rate_", "ppm_per_hour", p.ratePpmPerHour());
    }
    return node;
  }

  private static ArrayNode surroundings(List<Surroundings> all) {
    ArrayNode node = JSON.arrayNode();
    for (Surroundings s : all) {
      boolean temperature = s.quantity() == Surroundings.Quantity.TEMPERATURE;
      ObjectNode one = node.addObject();
      one.put("quantity", temperature ? "temperature" : "pressure");
      put(one, "", temperature ? "ppm_per_K" : "ppm_per_hPa", s.perUnit());
      put(one, "delay_", "s", s.delay());
      one.put("bic_gain", s.gain());
    }
    return node;
  }

  private static ArrayNode events(Watched w) {
    ArrayNode node = JSON.arrayNode();
    for (LogEvent e : w.report().events()) {
      node.addObject()
          .put("kind", e.kind().id())
          .put("start", w.at(e.start()).toString())
          .put("end", w.at(e.end()).toString())
          .put("duration_s", e.duration())
          .put("size_ppm", e.sizePpm());
    }
    return node;
  }

  private static @Nullable ObjectNode ramp(Watched w) {
    Ramp ramp = w.report().ramp();
    if (ramp == null) {
      return null;
    }
    double[] time = w.log().time();
    ObjectNode node = JSON.objectNode();
    node.put("start", w.at(time[ramp.firstSample()]).toString());
    node.put("end", w.at(time[ramp.lastSample()]).toString());
    node.put("settled", ramp.settled());
    put(node, "field_", "T_per_A", ramp.fieldPerAmpere());
    put(node, "rate_", "T_per_hour", ramp.rate());
    node.put("missing_T", ramp.missing());
    node.put("hours_to_target", ramp.hoursToTarget());
    return node;
  }

  private static @Nullable ObjectNode deviations(StabilityReport r) {
    DeviationTable table = r.deviations();
    if (table == null) {
      return null;
    }
    ObjectNode node = JSON.objectNode();
    node.put("confidence", table.confidence());
    node.put("bridged_share", r.bridgedShare());
    ArrayNode rows = node.putArray("rows");
    for (DeviationTable.Row row : table.rows()) {
      boolean time = row.kind() == DeviationKind.TIME || row.kind() == DeviationKind.TIME_TOTAL;
      rows.addObject()
          .put("kind", row.kind().id())
          .put("factor", row.factor())
          .put("tau_s", row.tau())
          .put("unit", time ? "ppm_s" : "ppm")
          .put("value", row.value())
          .put("low", row.low())
          .put("high", row.high())
          .put("noise", row.noise().id())
          .put("degrees_of_freedom", row.degreesOfFreedom());
    }
    return node;
  }

  private static ArrayNode limits(Watched w) {
    ArrayNode node = JSON.arrayNode();
    for (DriftVerdict v : w.report().limits()) {
      Double from = v.inLimitFrom();
      node.addObject()
          .put("id", v.limit().id())
          .put("measure", v.limit().measure().id())
          .put("value_ppm_per_hour", v.valuePpmPerHour())
          .put("uncertainty_ppm_per_hour", v.uncertaintyPpmPerHour())
          .put("limit_ppm_per_hour", v.limit().limit())
          .put("verdict", v.verdict().id())
          .put("in_limit_from", from == null ? null : w.at(from).toString());
    }
    return node;
  }
}
