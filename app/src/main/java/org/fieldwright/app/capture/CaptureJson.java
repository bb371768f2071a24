package org.fieldwright.app.capture;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.List;
import org.jspecify.annotations.Nullable;

/** A capture under way as JSON. */
final class CaptureJson {
  private CaptureJson() {}

  /**
   * The capture itself.
   *
   * @param view null before the reader has answered
   * @param said after the last reading
   */
  static ObjectNode of(@Nullable CaptureView view, List<Remark> said) {
    ObjectNode node = JsonNodeFactory.instance.objectNode();
    addRemarks(node.putArray("said"), said);
    ArrayNode angles = node.putArray("angles");
    ArrayNode standing = node.putArray("standing");
    ArrayNode warnings = node.putArray("warnings");
    if (view == null) {
      return node;
    }
    Capture.Ask next = view.next();
    if (next != null) {
      node.putObject("next")
          .put("angle_deg", next.angleDeg())
          .put("revisit", next.revisit())
          .put("failed_only", next.failedOnly())
          .put("number", next.number());
    }
    for (CaptureView.Angle a : view.angles()) {
      ObjectNode angle = angles.addObject().put("angle_deg", a.angleDeg()).put("taken", a.taken());
      a.silent().forEach(angle.putArray("silent")::add);
    }
    addRemarks(standing, view.standing());
    view.warnings().forEach(warnings::add);
    node.put("done", view.done()).put("of", view.of());
    node.put("probes_read", view.probesRead()).put("probes", view.probes());
    node.put("seconds_left", view.secondsLeft());
    return node;
  }

  private static void addRemarks(ArrayNode list, List<Remark> remarks) {
    for (Remark r : remarks) {
      list.addObject()
          .put("kind", LiveWork.id(r.kind()))
          .put("angle_deg", r.angleDeg())
          .put("asks_again", r.kind().asksAgain())
          .put("text", r.text());
    }
  }
}
