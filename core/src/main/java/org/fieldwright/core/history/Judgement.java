package org.fieldwright.core.history;

import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.fieldwright.core.stability.Estimate;
import org.jspecify.annotations.Nullable;

/**
 * A survey held against what the surveys before it predict. What was loaded in between is taken off
 * before, with how far it may be off.
 *
 * @param snapshot the survey judged
 * @param since the survey before it
 * @param between what people wrote down between the two
 * @param shape all harmonics at once; null where nothing is stated to be uncertain
 * @param limits by id, for limits over a volume; empty with {@code shape}
 * @param fieldShiftPpm of the centre field since the survey before
 * @param field the centre field held against the line through the earlier ones; null unless judged
 * @param fieldBasis whether it is, and why not
 */
public record Judgement(
    Snapshot snapshot,
    Snapshot since,
    List<MagnetEvent> between,
    @Nullable ShapeChange shape,
    Map<String, ScalarChange> limits,
    Estimate fieldShiftPpm,
    @Nullable ScalarChange field,
    FieldBasis fieldBasis) {

  public Judgement {
    between = List.copyOf(between);
    limits = Collections.unmodifiableMap(new LinkedHashMap<>(limits));
  }

  /** Whether the centre field can be judged. */
  public enum FieldBasis {
    JUDGED("judged"),
    /** A quench or a ramp lies between: the field is a new one. */
    SET_ANEW("set_anew"),
    /** One earlier survey tells a level but no rate. */
    NO_RATE_YET("no_rate_yet");

    private final String id;

    FieldBasis(String id) {
      this.id = id;
    }

    /** The name used in files. */
    public String id() {
      return id;
    }
  }

  /** Whether anything changed that was not meant to. */
  public boolean changed() {
    return shapeChanged() || (field != null && field.changed());
  }

  /** Whether the harmonics or what a limit measures changed. */
  public boolean shapeChanged() {
    return (shape != null && shape.changed())
        || limits.values().stream().anyMatch(ScalarChange::changed);
  }
}
