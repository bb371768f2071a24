package org.fieldwright.core.correction;

import java.util.Arrays;
import java.util.List;
import org.fieldwright.core.geometry.Volume;
import org.fieldwright.core.harmonic.Expansion;

/**
 * A correction as the search sees it: whole-number columns, each adding a known field, and what the
 * sum has to keep. Nothing here knows of trays or files.
 *
 * <p>Where pieces lie already and may be taken out there is a second column for taking out, so that
 * every cost and every cap is linear in the columns. A column's value never leaves its bounds.
 *
 * @param columns what one unit of each column does to the field
 * @param lower of each column
 * @param upper of each column
 * @param massAdded kg per unit of each column; 0 where a column takes iron out
 * @param now the field before, ppm
 * @param requirements the first is minimised or, for least iron, kept like the others
 * @param caps further sums that must be kept
 * @param massPrice objective per kg added
 * @param widthPrice objective per ppm of the first requirement's width
 * @param excessPrice objective per ppm by which a plan misses a requirement
 */
@SuppressWarnings("ArrayRecordComponent") // flat arrays for the inner loops; nobody writes to them
record ShimProblem(
    ShimColumns columns,
    double[] lower,
    double[] upper,
    double[] massAdded,
    Expansion now,
    List<Requirement> requirements,
    List<Cap> caps,
    double massPrice,
    double widthPrice,
    double excessPrice) {

  ShimProblem {
    requirements = List.copyOf(requirements);
    caps = List.copyOf(caps);
  }

  int size() {
    return columns.count();
  }

  /**
   * What a whole-piece plan is judged by: priced mass and width, and a steep price on every
   * requirement that is not kept, so that a search may pass through plans that do not keep them.
   *
   * @param values of the columns
   * @param widths by requirement, ppm
   */
  double objective(double[] values, double[] widths) {
    double sum = massPrice * massAdded(values) + widthPrice * widths[0];
    for (int q = 0; q < widths.length; q++) {
      sum += excessPrice * Math.max(0, widths[q] - requirements.get(q).widthPpm());
    }
    return sum;
  }

  /** ppm by which the requirement that is missed most is missed; 0 where all are kept. */
  double missed(double[] widths) {
    double most = 0;
    for (int q = 0; q < widths.length; q++) {
      most = Math.max(most, widths[q] - requirements.get(q).widthPpm());
    }
    return most;
  }

  /** The same caps with the first requirement's width minimised and nothing else asked. */
  ShimProblem minimisingWidth() {
    Volume volume = requirements.get(0).volume();
    return new ShimProblem(
        columns,
        lower,
        upper,
        massAdded,
        now,
        List.of(new Requirement(volume, Double.POSITIVE_INFINITY)),
        caps,
        0,
        1,
        excessPrice);
  }

  /** The same with every requirement lowered by a share of itself. */
  ShimProblem tightened(double share) {
    List<Requirement> lowered =
        requirements.stream()
            .map(r -> new Requirement(r.volume(), r.widthPpm() * (1 - share)))
            .toList();
    return new ShimProblem(
        columns, lower, upper, massAdded, now, lowered, caps, massPrice, widthPrice, excessPrice);
  }

  /** The same, priced otherwise: objective per ppm of the first width and per ppm missed. */
  ShimProblem priced(double perPpm, double perPpmMissed) {
    return new ShimProblem(
        columns, lower, upper, massAdded, now, requirements, caps, massPrice, perPpm, perPpmMissed);
  }

  /** The same with something else than mass to be paid for by the unit of each column. */
  ShimProblem costing(double[] cost, double perPpmMissed) {
    return new ShimProblem(
        columns, lower, upper, cost, now, requirements, caps, 1, 0, perPpmMissed);
  }

  /** The same with columns that may not rise so far. */
  ShimProblem within(double[] newUpper) {
    double[] high = upper.clone();
    Arrays.setAll(high, j -> Math.min(upper[j], newUpper[j]));
    return new ShimProblem(
        columns,
        lower,
        high,
        massAdded,
        now,
        requirements,
        caps,
        massPrice,
        widthPrice,
        excessPrice);
  }

  /**
   * The problem of coming near a field instead: the first requirement's width of another field
   * before, with the first columns held between other bounds as far as their own allow.
   */
  ShimProblem differenceFrom(Expansion before, double[] newLower, double[] newUpper) {
    double[] low = lower.clone();
    double[] high = upper.clone();
    for (int j = 0; j < newLower.length; j++) {
      low[j] = Math.max(lower[j], newLower[j]);
      high[j] = Math.min(upper[j], newUpper[j]);
    }
    return new ShimProblem(
        columns,
        low,
        high,
        massAdded,
        before,
        requirements.subList(0, 1),
        caps,
        massPrice,
        widthPrice,
        excessPrice);
  }

  /** kg added by these column values. */
  double massAdded(double[] values) {
    double sum = 0;
    for (int j = 0; j < massAdded.length; j++) {
      sum += massAdded[j] * values[j];
    }
    return sum;
  }

  /**
   * Peak-to-peak over a volume.
   *
   * @param widthPpm most that is allowed; +∞ for the one that is minimised
   */
  record Requirement(Volume volume, double widthPpm) {}

  /** Σ weight·value over some columns must not exceed the limit. */
  @SuppressWarnings("ArrayRecordComponent") // as above
  record Cap(int[] columns, double[] weights, double limit) {

    double sum(double[] values) {
      double sum = 0;
      for (int k = 0; k < columns.length; k++) {
        sum += weights[k] * values[columns[k]];
      }
      return sum;
    }
  }
}
