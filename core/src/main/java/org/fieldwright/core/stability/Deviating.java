package org.fieldwright.core.stability;

import java.util.BitSet;

/**
 * A log's field as it deviates from a reference, ppm; NaN where a sample is not used. Reckoned anew
 * from the field each time it is asked for: beside the log itself it costs one bit a sample.
 */
final class Deviating implements Series {
  private final double[] field;
  private final double reference;
  private final BitSet leftOut;

  private Deviating(double[] field, double reference, BitSet leftOut) {
    this.field = field;
    this.reference = reference;
    this.leftOut = leftOut;
  }

  /** Every sample of a field, T. */
  Deviating(double[] field, double reference) {
    this(field, reference, new BitSet());
  }

  /** The same, of which others may be left out. */
  Deviating copy() {
    return new Deviating(field, reference, (BitSet) leftOut.clone());
  }

  @Override
  public int size() {
    return field.length;
  }

  @Override
  public double at(int i) {
    return leftOut.get(i) ? Double.NaN : (field[i] - reference) / reference * 1e6;
  }

  boolean isUsed(int i) {
    return !Double.isNaN(field[i]) && !leftOut.get(i);
  }

  /** Samples used. */
  int used() {
    int used = 0;
    for (int i = 0; i < field.length; i++) {
      used += isUsed(i) ? 1 : 0;
    }
    return used;
  }

  /** Leaves samples out, from … to − 1. */
  void leaveOut(int from, int to) {
    leftOut.set(from, to);
  }
}
