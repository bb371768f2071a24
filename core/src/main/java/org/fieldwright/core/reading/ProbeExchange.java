package org.fieldwright.core.reading;

import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import java.util.function.ToDoubleFunction;
import org.fieldwright.core.harmonic.Sampling;
import org.fieldwright.core.harmonic.WorkingFit;
import org.jspecify.annotations.Nullable;

/**
 * Two probes whose readings fit far better when each is taken for the other's: their cables, or
 * their channels in the reader, were exchanged.
 *
 * <p>If the values y of a survey are those of probes i and j exchanged, then y + d are right, with
 * d the difference of the two at every angle, once with either sign. With M the projection on the
 * residuals and r = M y, exchanging changes Σ r² by 2 d·r + d·M d: one projection for each pair of
 * probes, no new fit.
 *
 * @param first index of a probe in the sampling
 * @param second index of the other
 */
record ProbeExchange(int first, int second) {
  /** 2 ln of the odds from which an exchange is named. */
  private static final double LEAST_EVIDENCE = 30;

  /** Share of Σ r² that an exchange must explain. */
  static final double LEAST_SHARE = 0.5;

  /** An exchange may leave this much more than both probes' offsets, fitted, would. */
  private static final double NOT_WORSE = 1.5;

  /**
   * What two offsets that happen to look like an exchange cost: 2 ln(1000 ppm/0.02 ppm) each, the
   * range in which an offset may lie over the width in which it must.
   */
  private static final double TWO_OFFSETS = 42;

  /** So many readings of a probe must be off before its cable is suspected rather than they. */
  private static final int FEW = 3;

  /** Whether 2 ln of the odds are enough to name an exchange. */
  static boolean isNamed(double evidence) {
    return evidence > LEAST_EVIDENCE;
  }

  /**
   * The exchange worth a look: it explains most of what the field and a few bad readings leave,
   * about as well at least as two offsets would.
   *
   * @param values by row, ppm
   * @param empty rows without a value
   */
  static @Nullable ProbeExchange suspected(
      FaultSearch faults, int degree, double[] values, Set<Integer> empty) {
    Sampling sampling = faults.sampling();
    Set<Integer> loud = faults.loudest();
    Set<Integer> absent = loners(sampling, loud);
    boolean probesOff = absent.size() < loud.size();
    absent.addAll(empty);
    for (int n : new int[] {degree, Math.max(1, degree / 2)}) {
      WorkingFit fit = faults.startWithout(absent, n);
      double before = fit.residualSumOfSquares();
      if (!probesOff && faults.isQuiet(fit)) {
        return null;
      }
      double[] least = {0};
      ProbeExchange best =
          best(
              sampling,
              values,
              absent,
              d -> {
                // d·M d is never negative: where 2 d·r alone is no better, the projection is
                // spared.
                double atBest = 2 * along(fit, d);
                if (atBest >= least[0]) {
                  return atBest;
                }
                double by = change(fit, d);
                least[0] = Math.min(least[0], by);
                return by;
              });
      if (best == null || fit.degreesOfFreedom() < 3) {
        continue;
      }
      double after = before + change(fit, best.difference(sampling, values, absent));
      fit.free(pattern(sampling, best.first), best);
      fit.free(pattern(sampling, best.second), best);
      if (after < LEAST_SHARE * before && after < NOT_WORSE * fit.residualSumOfSquares()) {
        return best;
      }
    }
    return null;
  }

  private static double along(WorkingFit fit, double[] d) {
    double sum = 0;
    for (int row = 0; row < d.length; row++) {
      sum += d[row] * fit.residual(row);
    }
    return sum;
  }

  /** What adding these to the weighted values does to Σ r². */
  private static double change(WorkingFit fit, double[] d) {
    WorkingFit.Score score = fit.score(d);
    return 2 * score.along() + score.left();
  }

  /**
   * 2 ln of the odds of this exchange over both probes' offsets being off, given the fault search
   * of the survey with the exchange made.
   *
   * @param values of that survey by row, ppm
   */
  double evidence(FaultSearch made, double[] values) {
    WorkingFit fit = made.anew(made.degree());
    double with = fit.residualSumOfSquares();
    Set<Integer> absent = new TreeSet<>();
    for (int row = 0; row < values.length; row++) {
      if (fit.isSetAside(row)) {
        absent.add(row);
      }
    }
    fit.free(pattern(made.sampling(), first), this);
    fit.free(pattern(made.sampling(), second), this);
    double without =
        fit.residualSumOfSquares() + change(fit, difference(made.sampling(), values, absent));
    return (without - with) / Math.pow(made.scatter(), 2) + TWO_OFFSETS;
  }

  private static double[] pattern(Sampling s, int probe) {
    double[] pattern = new double[s.size()];
    for (int row = 0; row < pattern.length; row++) {
      pattern[row] = s.probe(row) == probe ? s.rootWeight(row) : 0;
    }
    return pattern;
  }

  /**
   * The exchange that lowers Σ r² most; null where none does.
   *
   * @param change of Σ r² if these are added to the weighted values
   */
  static @Nullable ProbeExchange best(
      Sampling sampling, double[] values, Set<Integer> absent, ToDoubleFunction<double[]> change) {
    List<int[]> rowOf = rowsByProbe(sampling, absent);
    ProbeExchange best = null;
    double least = 0;
    for (int i = 0; i < rowOf.size(); i++) {
      for (int j = i + 1; j < rowOf.size(); j++) {
        double by = change.applyAsDouble(difference(sampling, values, rowOf.get(i), rowOf.get(j)));
        if (by < least) {
          least = by;
          best = new ProbeExchange(i, j);
        }
      }
    }
    return best;
  }

  /** What the exchange adds to the weighted values. */
  double[] difference(Sampling sampling, double[] values, Set<Integer> absent) {
    List<int[]> rowOf = rowsByProbe(sampling, absent);
    return difference(sampling, values, rowOf.get(first), rowOf.get(second));
  }

  /** For each probe its row at each angle, −1 where it has none. */
  private static List<int[]> rowsByProbe(Sampling s, Set<Integer> absent) {
    int angles = 0;
    int probes = 0;
    for (int row = 0; row < s.size(); row++) {
      angles = Math.max(angles, s.angle(row) + 1);
      probes = Math.max(probes, s.probe(row) + 1);
    }
    List<int[]> rows = new ArrayList<>();
    for (int p = 0; p < probes; p++) {
      int[] none = new int[angles];
      java.util.Arrays.fill(none, -1);
      rows.add(none);
    }
    for (int row = 0; row < s.size(); row++) {
      if (s.probe(row) >= 0 && s.angle(row) >= 0 && !absent.contains(row)) {
        rows.get(s.probe(row))[s.angle(row)] = row;
      }
    }
    return rows;
  }

  private static double[] difference(Sampling s, double[] values, int[] first, int[] second) {
    double[] d = new double[values.length];
    for (int a = 0; a < first.length; a++) {
      int i = first[a];
      int j = second[a];
      if (i >= 0 && j >= 0) {
        double apart = values[j] - values[i];
        d[i] = s.rootWeight(i) * apart;
        d[j] = -s.rootWeight(j) * apart;
      }
    }
    return d;
  }

  /**
   * Of the rows set aside those that are their probe's only ones, or nearly: plain bad readings.
   */
  static Set<Integer> loners(Sampling s, Set<Integer> setAside) {
    Set<Integer> loners = new TreeSet<>();
    for (int row : setAside) {
      long ofProbe = setAside.stream().filter(r -> s.probe(r) == s.probe(row)).count();
      if (ofProbe < FEW) {
        loners.add(row);
      }
    }
    return loners;
  }

  /** The finding. */
  static Finding finding(Probe a, Probe b, double evidence, String against) {
    return Finding.of(
        Finding.What.EXCHANGED_PROBES,
        "Probes %d and %d look exchanged%s: each one's readings fit at the other's place, and are taken there."
            .formatted(a.id(), b.id(), against),
        evidence,
        "Check their cables and channels, and read one angle again before anything is loaded.");
  }
}
