package org.fieldwright.core.outside;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.function.Function;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.AngularSupport;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.reading.ProbeArray;
import org.fieldwright.core.reading.Reading;
import org.fieldwright.core.reading.Survey;
import org.fieldwright.core.reading.VettedSurvey.Used;
import org.jspecify.annotations.Nullable;

/** What errors of the array do to readings in a field: ppm, row by row. */
final class ArrayErrors {
  private final List<Used> used;
  private final boolean turning;
  private final Vec3[] slope; // ∇B, ppm/m

  /**
   * @param model of the field read
   * @param used readings, row by row
   * @param kind of the survey they are of
   */
  ArrayErrors(FieldModel model, List<Used> used, Survey.Kind kind) {
    this.used = used;
    turning = kind == Survey.Kind.TURNING_ARRAY;
    slope = new Vec3[used.size()];
    Expansion[] gradient = model.ppm().gradient();
    for (int i = 0; i < slope.length; i++) {
      slope[i] = Expansion.at(gradient, at(i));
    }
  }

  private Vec3 at(int row) {
    return used.get(row).reading().position();
  }

  /** Adds to the scatter of free points what their own places may be off. */
  void scatter(ProbeArray.Uncertainty stated, double scatter, double[] rootWeight) {
    Double position = stated.position();
    if (turning || position == null) {
      return;
    }
    for (int i = 0; i < rootWeight.length; i++) {
      double more = position * slope[i].norm() / scatter;
      rootWeight[i] = 1 / Math.hypot(1 / rootWeight[i], more);
    }
  }

  /**
   * One standard uncertainty of each thing stated: probes against each other, each probe's place
   * outwards, along and across, each setting's angle; none for free points.
   *
   * @param times how many independent errors of the kind add up in a row
   */
  List<double[]> ofArray(ProbeArray.Uncertainty stated, int times) {
    double root = Math.sqrt(times);
    double normalisation = orZero(stated.normalisationPpm());
    double position = orZero(stated.position());
    double angle = orZero(stated.angle());
    List<double[]> patterns = new ArrayList<>();
    if (!turning) {
      return patterns;
    }
    for (List<Integer> rows : groups(Reading::probe)) {
      patterns.add(pattern(rows, root * normalisation, i -> 1.0));
      patterns.add(pattern(rows, root * position, i -> slope[i].dot(at(i).unit())));
      patterns.add(pattern(rows, root * position, i -> slope[i].dot(at(i).alongPolar())));
      patterns.add(pattern(rows, root * position, i -> slope[i].dot(at(i).alongAzimuth())));
    }
    for (List<Integer> rows : groups(ArrayErrors::setting)) {
      patterns.add(pattern(rows, root * angle, this::aboutZ));
    }
    // What is not stated, and what does nothing in this field, takes no column.
    patterns.removeIf(p -> Arrays.stream(p).allMatch(e -> e == 0));
    return patterns;
  }

  private static double orZero(@Nullable Double stated) {
    return stated == null ? 0 : stated;
  }

  /** What one metre along x, y and z, and one radian about z, would do to all of them. */
  List<double[]> placement() {
    List<Integer> all = new ArrayList<>();
    for (int i = 0; i < used.size(); i++) {
      all.add(i);
    }
    return List.of(
        pattern(all, 1, i -> slope[i].x()),
        pattern(all, 1, i -> slope[i].y()),
        pattern(all, 1, i -> slope[i].z()),
        pattern(all, 1, this::aboutZ));
  }

  private double aboutZ(int row) {
    return at(row).cross(slope[row]).z();
  }

  private static @Nullable Integer setting(Reading r) {
    Double angle = r.angleDeg();
    return angle == null
        ? null
        : (Integer)
            (int)
                Math.round((angle - 360 * Math.floor(angle / 360)) / AngularSupport.SAME_ANGLE_DEG);
  }

  private List<List<Integer>> groups(Function<Reading, @Nullable Integer> of) {
    Map<Integer, List<Integer>> groups = new TreeMap<>();
    for (int i = 0; i < used.size(); i++) {
      Integer key = of.apply(used.get(i).reading());
      if (key != null) {
        groups.computeIfAbsent(key, k -> new ArrayList<>()).add(i);
      }
    }
    return List.copyOf(groups.values());
  }

  private double[] pattern(List<Integer> rows, double size, Function<Integer, Double> perUnit) {
    double[] pattern = new double[used.size()];
    for (int i : rows) {
      pattern[i] = size * perUnit.apply(i);
    }
    return pattern;
  }
}
