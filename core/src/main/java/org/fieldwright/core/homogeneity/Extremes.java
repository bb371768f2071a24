package org.fieldwright.core.homogeneity;

import org.fieldwright.core.homogeneity.LimitResult.Extreme;

/** The largest and the smallest field value on a surface, in the unit of the field, and where. */
public record Extremes(Extreme max, Extreme min) {

  public double peakToPeak() {
    return max.ppm() - min.ppm();
  }
}
