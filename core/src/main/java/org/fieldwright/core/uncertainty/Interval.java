package org.fieldwright.core.uncertainty;

/** A coverage interval, ends included, in the unit of what it covers. */
public record Interval(double low, double high) {

  public boolean contains(double value) {
    return low <= value && value <= high;
  }
}
