package org.fieldwright.bench;

import java.util.Arrays;
import java.util.Locale;
import java.util.Random;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import org.fieldwright.core.stability.DeviationKind;
import org.fieldwright.core.stability.Deviations;

/**
 * Times the overlapping Allan deviations of a million values at all doubling factors, running sum
 * included. {@code bench/allan.sh} sets it beside the same in numpy on the same values.
 */
public final class OverlappingAllanTimer {
  private static final int WARM_UP = 40;
  private static final int RUNS = 31;

  private OverlappingAllanTimer() {}

  /**
   * Prints the median time in ms, then factor and deviation on each line.
   *
   * @param args number of values, number of threads
   */
  public static void main(String[] args) {
    int n = Integer.parseInt(args[0]);
    ExecutorService pool = Executors.newFixedThreadPool(Integer.parseInt(args[1]));
    double[] y = new double[n];
    Random random = new Random(1);
    for (int i = 0; i < n; i++) {
      // Multiples of 2⁻²⁰, so that the other side can be given exactly the same values as text.
      y[i] = random.nextInt(1 << 20) / (double) (1 << 20);
    }
    int[] factors = factors(n);
    double[] milliseconds = new double[RUNS];
    double[] deviations = new double[0];
    for (int run = -WARM_UP; run < RUNS; run++) {
      long start = System.nanoTime();
      deviations = new Deviations(y, 1).overlappingAllan(factors, pool);
      if (run >= 0) {
        milliseconds[run] = (System.nanoTime() - start) / 1e6;
      }
    }
    pool.shutdown();
    Arrays.sort(milliseconds);
    System.out.printf(Locale.ROOT, "%.3f%n", milliseconds[RUNS / 2]);
    for (int k = 0; k < factors.length; k++) {
      System.out.println(factors[k] + " " + deviations[k]);
    }
  }

  private static int[] factors(int n) {
    int largest = new Deviations(new double[n], 1).largestFactor(DeviationKind.OVERLAPPING_ALLAN);
    int[] factors = new int[32 - Integer.numberOfLeadingZeros(largest)];
    for (int k = 0; k < factors.length; k++) {
      factors[k] = 1 << k;
    }
    return factors;
  }
}
