package org.fieldwright.core.uncertainty;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import org.fieldwright.core.harmonic.FieldModel.Share;
import org.fieldwright.core.harmonic.FieldModel.Source;
import org.jspecify.annotations.Nullable;

/**
 * Where the standard uncertainty of one figure comes from (JCGM 100:2008, 5.2 and 8): one line for
 * each source of error, independent of the others, so that their squares add up.
 *
 * @param lines largest first
 */
public record UncertaintyBudget(List<Line> lines) {

  /** What one source alone would give, ppm. */
  public record Line(Source source, double uncertaintyPpm) {}

  public UncertaintyBudget {
    lines = List.copyOf(lines);
  }

  /**
   * The budget of a figure that depends on the coefficients of a field model.
   *
   * @param shares of the model's covariance
   * @param gradient of the figure by the coefficients, to a factor
   * @param uncertaintyPpm of the figure; the lines are scaled to it
   */
  public static UncertaintyBudget of(List<Share> shares, double[] gradient, double uncertaintyPpm) {
    double total = 0;
    for (Share s : shares) {
      total += s.covariance().varianceOf(gradient);
    }
    List<Line> lines = new ArrayList<>();
    for (Share s : shares) {
      double part = total > 0 ? Math.max(0, s.covariance().varianceOf(gradient)) / total : 0;
      lines.add(new Line(s.source(), uncertaintyPpm * Math.sqrt(part)));
    }
    lines.sort(Comparator.comparingDouble(Line::uncertaintyPpm).reversed());
    return new UncertaintyBudget(lines);
  }

  /** Root sum of squares of the lines, ppm. */
  public double totalPpm() {
    double sum = 0;
    for (Line line : lines) {
      sum += line.uncertaintyPpm() * line.uncertaintyPpm();
    }
    return Math.sqrt(sum);
  }

  /** The source that counts most; null where nothing is uncertain. */
  public @Nullable Source dominant() {
    return lines.isEmpty() || lines.get(0).uncertaintyPpm() == 0 ? null : lines.get(0).source();
  }

  /** What would remain, ppm, if the dominant source were half as large. */
  public double afterHalvingDominantPpm() {
    double largest = lines.isEmpty() ? 0 : lines.get(0).uncertaintyPpm();
    return Math.sqrt(Math.max(0, totalPpm() * totalPpm() - 0.75 * largest * largest));
  }

  /** What a person can do about a source. */
  public static String remedy(Source source) {
    return switch (source) {
      case READING -> "more angles or more averages; it falls with the root of their number";
      case POSITION -> "measured probe positions in the magnet file, or a stiffer array";
      case ANGLE -> "angles read back from the array, or more of them";
      case NORMALISATION -> "a probe offset check, its offsets entered in the magnet file";
      case DRIFT -> "more revisits spread over the survey, or a quicker survey";
      case MODULUS ->
          "array.modulus: taken_off in the magnet file, or a field that is closer to uniform";
    };
  }
}
