package org.fieldwright.core.stability;

import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutorService;
import org.hipparchus.distribution.continuous.ChiSquaredDistribution;
import org.jspecify.annotations.Nullable;

/**
 * Deviations at averaging factors 1, 2, 4 … with their confidence.
 *
 * @param confidence two-sided level of the intervals
 * @param rows by kind, then by factor
 */
public record DeviationTable(double confidence, List<Row> rows) {
  /** One standard deviation either way, as the handbook draws its bars. */
  public static final double ONE_SIGMA = 0.682689492137086;

  /**
   * Terms times factor up to which modified total and Hadamard total are computed; about a second
   * for all factors together.
   */
  private static final double DEAREST = 1e7;

  public DeviationTable {
    rows = List.copyOf(rows);
  }

  /**
   * A deviation.
   *
   * @param factor averaging factor m
   * @param tau averaging time, s
   * @param value in the record's unit (times seconds for time kinds)
   * @param noise found at this factor
   * @param degreesOfFreedom equivalent χ² degrees of freedom
   * @param low lower end of the interval
   * @param high upper end
   */
  public record Row(
      DeviationKind kind,
      int factor,
      double tau,
      double value,
      NoiseType noise,
      double degreesOfFreedom,
      double low,
      double high) {}

  /**
   * All kinds at all doubling factors. Modified total, time total and Hadamard total are left out
   * at the factors where they would cost more than {@value #DEAREST} operations, which begins at
   * some five thousand values.
   *
   * @param executor shares the work of long records out; null keeps it in the caller's thread
   */
  public static DeviationTable of(Deviations deviations, @Nullable ExecutorService executor) {
    int[] factors = doubling(deviations.largestFactor(DeviationKind.OVERLAPPING_ALLAN));
    double[] overlapping = deviations.overlappingAllan(factors, executor);
    int known = 0;
    while (known < factors.length
        && deviations.size() / factors[known] >= NoiseIdentification.FEWEST_POINTS) {
      known++;
    }
    List<NoiseType> allanNoise = noise(deviations, factors, known, 2, executor);
    List<NoiseType> hadamardNoise = noise(deviations, factors, known, 3, executor);
    List<Callable<Row>> rows = new ArrayList<>();
    for (DeviationKind kind : DeviationKind.values()) {
      for (int k = 0; k < factors.length; k++) {
        int m = factors[k];
        if (m <= deviations.largestFactor(kind) && !tooDear(kind, deviations.size(), m)) {
          List<NoiseType> noise = kind.differences() == 2 ? allanNoise : hadamardNoise;
          // Where too few points are left to tell, the noise of the last factor that had enough.
          NoiseType here =
              noise.isEmpty() ? NoiseType.WHITE : noise.get(Math.min(k, noise.size() - 1));
          double value = kind == DeviationKind.OVERLAPPING_ALLAN ? overlapping[k] : Double.NaN;
          rows.add(() -> row(kind, m, deviations, value, here));
        }
      }
    }
    return new DeviationTable(ONE_SIGMA, Parallel.all(rows, executor));
  }

  /** The rows of one kind, by factor. */
  public List<Row> of(DeviationKind kind) {
    return rows.stream().filter(r -> r.kind() == kind).toList();
  }

  private static boolean tooDear(DeviationKind kind, int values, int m) {
    return switch (kind) {
      case MODIFIED_TOTAL, TIME_TOTAL, HADAMARD_TOTAL -> (double) values * m > DEAREST;
      default -> false;
    };
  }

  private static Row row(
      DeviationKind kind, int m, Deviations deviations, double known, NoiseType noise) {
    double value = Double.isNaN(known) ? deviations.of(kind, m) : known;
    double edf = DegreesOfFreedom.of(kind, noise, deviations.size(), m);
    ChiSquaredDistribution chi = new ChiSquaredDistribution(edf);
    double tail = (1 - ONE_SIGMA) / 2;
    double low = value * Math.sqrt(edf / chi.inverseCumulativeProbability(1 - tail));
    double high = value * Math.sqrt(edf / chi.inverseCumulativeProbability(tail));
    return new Row(kind, m, m * deviations.interval(), value, noise, edf, low, high);
  }

  private static int[] doubling(int largest) {
    int count = 32 - Integer.numberOfLeadingZeros(largest);
    int[] factors = new int[count];
    for (int k = 0; k < count; k++) {
      factors[k] = 1 << k;
    }
    return factors;
  }

  /** At the first factors. */
  private static List<NoiseType> noise(
      Deviations deviations,
      int[] factors,
      int count,
      int differences,
      @Nullable ExecutorService executor) {
    List<Callable<NoiseType>> searches = new ArrayList<>();
    for (int k = 0; k < count; k++) {
      int m = factors[k];
      searches.add(() -> NoiseIdentification.of(deviations.phase(), m, differences));
    }
    return Parallel.all(searches, executor);
  }
}
