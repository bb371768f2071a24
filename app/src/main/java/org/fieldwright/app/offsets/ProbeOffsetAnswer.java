package org.fieldwright.app.offsets;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.Locale;
import org.fieldwright.core.reading.ProbeOffsetCheck;
import org.fieldwright.core.reading.ProbeOffsetCheck.Offset;

/**
 * The offsets in words and as a document.
 *
 * @param magnet its name
 * @param file the readings
 * @param written whether the magnet file has them now
 */
public record ProbeOffsetAnswer(
    String magnet, String file, ProbeOffsetCheck check, boolean written) {

  /** For a person at a terminal. */
  public String text() {
    StringBuilder text = new StringBuilder();
    line(
        text,
        "%s, %s: %d probes at one place, %d visits in %.2f h",
        magnet,
        file,
        check.offsets().size(),
        check.visits(),
        check.hours());
    line(text, "probe  visits  stated ppm   found ppm");
    for (Offset o : check.offsets()) {
      line(
          text,
          "%5d  %6d  %+10.4f  %+10.4f ± %.4f%s",
          o.probe(),
          o.visits(),
          o.statedPpm(),
          o.ppm(),
          o.uncertaintyPpm(),
          o.isNews() ? "  changed" : "");
    }
    line(
        text,
        "Drift %+.3f ± %.3f ppm/h (%s), removed; a visit scatters by %.4f ppm (%d degrees of freedom)",
        check.driftPpmPerHour(),
        check.driftUncertainty(),
        check.driftDegree() == 1 ? "steady" : "bent",
        check.scatterPpm(),
        check.degreesOfFreedom());
    line(
        text,
        "The probes are compared with each other: the mean of their offsets stays what it was.");
    line(
        text,
        written
            ? "Written into the magnet file."
            : "Nothing was written; --write puts these into the magnet file.");
    return text.toString();
  }

  private static void line(StringBuilder text, String format, Object... values) {
    text.append(String.format(Locale.ROOT, format, values)).append('\n');
  }

  /** The whole document; its schema is probe-offsets.schema.json. */
  public ObjectNode json() {
    ObjectNode root = JsonNodeFactory.instance.objectNode();
    root.put("magnet", magnet);
    root.put("file", file);
    root.put("visits", check.visits());
    root.put("hours", check.hours());
    root.put("scatter_ppm", check.scatterPpm());
    root.put("degrees_of_freedom", check.degreesOfFreedom());
    root.putObject("drift")
        .put("degree", check.driftDegree())
        .put("ppm_per_hour", check.driftPpmPerHour())
        .put("uncertainty_ppm_per_hour", check.driftUncertainty());
    ArrayNode probes = root.putArray("probes");
    for (Offset o : check.offsets()) {
      probes
          .addObject()
          .put("probe", o.probe())
          .put("visits", o.visits())
          .put("stated_ppm", o.statedPpm())
          .put("offset_ppm", o.ppm())
          .put("uncertainty_ppm", o.uncertaintyPpm())
          .put("changed", o.isNews());
    }
    root.put("written", written);
    return root;
  }
}
