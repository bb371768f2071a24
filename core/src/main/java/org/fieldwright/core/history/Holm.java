package org.fieldwright.core.history;

import java.util.Comparator;
import java.util.List;
import java.util.stream.IntStream;

/**
 * Holm's step-down correction for asking many questions at once (Holm 1979, Scandinavian Journal of
 * Statistics 6, 65): rejecting what is at most α keeps the chance of one false rejection or more
 * below α, however the questions depend on each other.
 */
final class Holm {
  private Holm() {}

  /** The corrected chances, in the order given. */
  static double[] adjusted(double[] p) {
    List<Integer> order =
        IntStream.range(0, p.length)
            .boxed()
            .sorted(Comparator.comparingDouble((Integer i) -> p[i]))
            .toList();
    double[] adjusted = new double[p.length];
    double largest = 0;
    for (int k = 0; k < p.length; k++) {
      int i = order.get(k);
      largest = Math.max(largest, Math.min(1, (p.length - k) * p[i]));
      adjusted[i] = largest;
    }
    return adjusted;
  }
}
