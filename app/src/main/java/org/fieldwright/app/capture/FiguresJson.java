package org.fieldwright.app.capture;

import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import org.fieldwright.core.stability.Estimate;
import org.jspecify.annotations.Nullable;

/** The document of {@code record --json}; docs/schemas/record.schema.json describes it. */
public final class FiguresJson {
  private FiguresJson() {}

  /** What a recording shows. */
  public static ObjectNode of(Figures f) {
    ObjectNode node = JsonNodeFactory.instance.objectNode();
    node.put("time", f.time().toString());
    node.put("readings", f.readings());
    node.put("locked", f.locked());
    node.put("probes", f.of());
    f.unlocked().forEach(node.putArray("unlocked_probes")::add);
    node.put("frequency_MHz", f.frequencyMHz());
    node.put("change_ppm", f.ppm());
    put(node, "drift_ppm_per_hour", f.drift());
    node.put("current_A", f.current());
    put(node, "field_T_per_A", f.fieldPerAmpere());
    put(node, "hours_to_target", f.hoursToTarget());
    f.alarms().forEach(node.putArray("alarms")::add);
    return node;
  }

  private static void put(ObjectNode node, String key, @Nullable Estimate e) {
    if (e == null) {
      node.putNull(key);
    } else {
      node.putObject(key).put("value", e.value()).put("uncertainty", e.uncertainty());
    }
  }
}
