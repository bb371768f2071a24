package org.fieldwright.core.stability;

/** A log in groups of equally many samples: coarse enough for running medians of long logs. */
final class Groups {
  private final int perGroup;
  private final double[] median;

  /** Medians of groups of so many samples; NaN where a group has no value. */
  Groups(Series value, int perGroup) {
    this.perGroup = perGroup;
    int n = (value.size() + perGroup - 1) / perGroup;
    median = new double[n];
    for (int g = 0; g < n; g++) {
      int from = g * perGroup;
      median[g] =
          perGroup == 1
              ? value.at(from)
              : Robust.median(value, from, Math.min(value.size(), from + perGroup));
    }
  }

  int size() {
    return median.length;
  }

  int perGroup() {
    return perGroup;
  }

  /** Not to be written to. */
  double[] medians() {
    return median;
  }

  int groupOf(int sample) {
    return sample / perGroup;
  }

  int firstSample(int group) {
    return group * perGroup;
  }
}
