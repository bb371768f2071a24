package org.fieldwright.app.capture;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.fieldwright.app.capture.CaptureEvent.Begun;
import org.fieldwright.app.capture.CaptureEvent.Taken;
import org.fieldwright.app.capture.CaptureEvent.VisitBegun;
import org.fieldwright.app.capture.CaptureEvent.VisitDone;
import org.fieldwright.app.capture.CaptureEvent.WindowSet;
import org.fieldwright.app.capture.CaptureEvent.Withdrawn;
import org.jspecify.annotations.Nullable;

/**
 * Events as JSON; numbers come back to the last bit. Events that are to be kept together or not at
 * all, because one answer of the reader held them, are one document: a list.
 */
final class EventCodec {
  private static final ObjectMapper JSON = new ObjectMapper();

  private EventCodec() {}

  static byte[] encode(List<? extends CaptureEvent> events) throws IOException {
    if (events.size() == 1) {
      return JSON.writeValueAsBytes(node(events.get(0)));
    }
    ArrayNode all = JSON.createArrayNode();
    events.forEach(event -> all.add(node(event)));
    return JSON.writeValueAsBytes(all);
  }

  private static ObjectNode node(CaptureEvent event) {
    ObjectNode node = JSON.createObjectNode();
    if (event instanceof Begun e) {
      node.put("event", "begun").put("magnet_sha256", e.magnetSha256());
      e.anglesDeg().forEach(node.putArray("angles_deg")::add);
      node.put("instrument", e.instrument()).put("expected_ppm", e.expectedPpm());
      ObjectNode remarks = node.putObject("remarks");
      e.remarks().forEach(remarks::put);
    } else if (event instanceof WindowSet e) {
      node.put("event", "window").put("low_MHz", e.lowMHz()).put("high_MHz", e.highMHz());
    } else if (event instanceof VisitBegun e) {
      node.put("event", "visit").put("visit", e.visit()).put("step", e.step());
    } else if (event instanceof Taken e) {
      node.put("event", "taken").put("visit", e.visit()).put("probe", e.probe());
      node.put("field_T", e.field()).put("sd_T", e.sd());
      node.put("averages", e.averages()).put("locked", e.locked());
      node.put("time", e.time().toString());
    } else if (event instanceof VisitDone e) {
      node.put("event", "done").put("visit", e.visit());
    } else if (event instanceof Withdrawn e) {
      node.put("event", "withdrawn").put("visit", e.visit());
    }
    return node;
  }

  static List<CaptureEvent> decode(byte[] record) throws IOException {
    JsonNode document = JSON.readTree(record);
    List<CaptureEvent> events = new ArrayList<>();
    for (JsonNode node : document.isArray() ? document : List.of(document)) {
      events.add(event(node));
    }
    return events;
  }

  private static CaptureEvent event(JsonNode node) throws IOException {
    int visit = node.path("visit").asInt();
    return switch (node.path("event").asText()) {
      case "begun" -> begun(node);
      case "window" ->
          new WindowSet(node.path("low_MHz").asDouble(), node.path("high_MHz").asDouble());
      case "visit" -> new VisitBegun(visit, node.path("step").asInt());
      case "taken" ->
          new Taken(
              visit,
              node.path("probe").asInt(),
              number(node.path("field_T")),
              number(node.path("sd_T")),
              whole(node.path("averages")),
              whole(node.path("locked")),
              Instant.parse(node.path("time").asText()));
      case "done" -> new VisitDone(visit);
      case "withdrawn" -> new Withdrawn(visit);
      default -> throw new IOException("an event of a later version: " + node.path("event"));
    };
  }

  private static Begun begun(JsonNode node) {
    List<Double> angles = new ArrayList<>();
    node.path("angles_deg").forEach(a -> angles.add(a.asDouble()));
    Map<String, String> remarks = new LinkedHashMap<>();
    node.path("remarks").properties().forEach(r -> remarks.put(r.getKey(), r.getValue().asText()));
    return new Begun(
        node.path("magnet_sha256").asText(),
        angles,
        node.path("instrument").asText(),
        node.path("expected_ppm").asDouble(),
        remarks);
  }

  private static @Nullable Double number(JsonNode node) {
    return node.isNumber() ? (Double) node.doubleValue() : null;
  }

  private static @Nullable Integer whole(JsonNode node) {
    return node.isNumber() ? (Integer) node.intValue() : null;
  }
}
