package org.fieldwright.app.capture;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.stream.Collectors;
import org.fieldwright.core.correction.IronSystem;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.Seating;
import org.fieldwright.core.harmonic.Seating.Component;
import org.fieldwright.core.magnet.Magnet;
import org.fieldwright.core.reading.EarlierSurvey;
import org.jspecify.annotations.Nullable;

/** What a person at the bore is to do with the array, in words and as a document. */
public final class SeatAdvice {
  private final Seating seating;
  private final double tolerance;
  private final Magnet magnet;
  private final List<Double> anglesDeg;
  private final List<Integer> leftOut;

  /**
   * @param tolerance in each direction, m
   * @param anglesDeg of the array, that were read
   * @param probes who took each reading
   */
  SeatAdvice(
      Seating seating,
      double tolerance,
      Magnet magnet,
      List<Double> anglesDeg,
      List<Integer> probes) {
    this.seating = seating;
    this.tolerance = tolerance;
    this.magnet = magnet;
    this.anglesDeg = anglesDeg;
    this.leftOut = seating.leftOut().stream().map(probes::get).distinct().sorted().toList();
  }

  /** Whether the array is seen to be where it should in every direction. */
  public boolean seated() {
    return fits() && seating.components().stream().allMatch(c -> c.within(tolerance));
  }

  private boolean fits() {
    return seating.misfit() <= EarlierSurvey.FIELD_CHANGED;
  }

  /** What to do now; the first line is for while the array is being moved. */
  public List<String> lines() {
    List<String> lines = new ArrayList<>();
    List<String> moves = new ArrayList<>();
    for (Component c : seating.components()) {
      if (c.seen() && !c.within(tolerance)) {
        moves.add(amount(c) + " towards " + towards(c));
      }
    }
    String word = millimetres(tolerance) + " mm";
    if (!moves.isEmpty()) {
      lines.add("Move it " + String.join(", and ", moves) + ".");
    } else {
      lines.add((seated() ? "Seated: within " : "What is seen is within ") + word + ".");
    }
    for (Component c : seating.components()) {
      if (!c.seen()) {
        lines.add(unseen(c));
      } else if (c.uncertainty() > tolerance) {
        lines.add(
            "Along %s the readings tell it to ± %s mm only, the tolerance is %s."
                .formatted(line(c.direction()), millimetres(c.uncertainty()), word));
      }
    }
    if (!fits()) {
      lines.add(
          "The readings do not fit the earlier survey (misfit %.1f): the field has changed since, or the array does not stand at %s."
              .formatted(seating.misfit(), angles()));
    }
    if (!leftOut.isEmpty()) {
      lines.add(
          "Left out, because the others contradict it: probe "
              + leftOut.stream().map(String::valueOf).collect(Collectors.joining(", "))
              + ".");
    }
    return lines;
  }

  private String unseen(Component c) {
    String what = "Along %s it cannot be seen".formatted(line(c.direction()));
    if (anglesDeg.size() > 1 || c.direction().z() != 0) {
      return what + " in this field.";
    }
    return "%s at %s: turn the array by 90° without moving it, and say where it stands."
        .formatted(what, angles());
  }

  private String angles() {
    return anglesDeg.stream().map(Announcer::degrees).collect(Collectors.joining(" and "));
  }

  private static String amount(Component c) {
    int decimals = c.uncertainty() < 0.95e-4 ? 2 : 1;
    String form = "%." + decimals + "f ± %." + decimals + "f mm";
    return String.format(Locale.ROOT, form, 1e3 * Math.abs(c.move()), 1e3 * c.uncertainty());
  }

  private static String millimetres(double metres) {
    return Announcer.shortly(1e3 * metres);
  }

  private String towards(Component c) {
    Vec3 way = c.move() < 0 ? c.direction().times(-1) : c.direction();
    if (way.z() == 0) {
      return degrees(way);
    }
    String end = plusZEnd();
    String name = end == null ? "" : way.z() > 0 ? " (" + end + ")" : " (away from " + end + ")";
    return (way.z() > 0 ? "+z" : "−z") + name;
  }

  private @Nullable String plusZEnd() {
    IronSystem iron = magnet.iron();
    return iron == null ? null : iron.plusZEnd();
  }

  private static String line(Vec3 direction) {
    return direction.z() == 0
        ? "%s–%s".formatted(degrees(direction), degrees(direction.times(-1)))
        : "the bore";
  }

  private static String degrees(Vec3 way) {
    double deg = CapturePlan.turn(Math.toDegrees(way.azimuth()));
    return Announcer.degrees(Math.rint(100 * deg) / 100 % 360);
  }

  /** The document of {@code seat --json}; docs/schemas/seat.schema.json describes it. */
  public ObjectNode json() {
    ObjectNode node = JsonNodeFactory.instance.objectNode();
    node.put("seated", seated());
    node.put("tolerance_mm", 1e3 * tolerance);
    anglesDeg.forEach(node.putArray("angles_deg")::add);
    ArrayNode components = node.putArray("components");
    for (Component c : seating.components()) {
      ObjectNode one = components.addObject();
      one.putArray("direction")
          .add(c.direction().x())
          .add(c.direction().y())
          .add(c.direction().z());
      one.put("move_mm", 1e3 * c.move()).put("uncertainty_mm", 1e3 * c.uncertainty());
      one.put("towards", towards(c)).put("seen", c.seen()).put("within", c.within(tolerance));
    }
    node.put("plus_z_end", plusZEnd());
    node.put("misfit", seating.misfit());
    leftOut.forEach(node.putArray("left_out_probes")::add);
    lines().forEach(node.putArray("lines")::add);
    return node;
  }
}
