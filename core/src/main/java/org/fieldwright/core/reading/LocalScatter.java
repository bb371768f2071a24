package org.fieldwright.core.reading;

import java.util.Arrays;
import java.util.Set;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.FitResiduals;
import org.fieldwright.core.harmonic.Sampling;

/**
 * How much more than the whole survey a reading may scatter: by what is stated for its place and
 * angle, or because its probe or its setting does.
 *
 * <p>A probe a little out of place, a setting a little off its angle, or a field richer than the
 * model near one of them leaves residuals that are larger there than elsewhere. Held against the
 * scatter of the whole survey, good readings of such a probe or setting look bad; so each is held
 * against that of its own company where that is larger by more than chance makes it. The company's
 * scatter is the root mean square of the quieter {@link #QUIET} of its standardised residuals,
 * readings set aside counting as its loudest, so that bad readings in it do not hide each other.
 */
final class LocalScatter {
  /** Share of a company that is taken to be sound. */
  private static final double QUIET = 0.75;

  /** Fewer readings than this say nothing of their company's scatter. */
  private static final int LEAST = 8;

  /**
   * Standard deviation of such a scatter, relative, times the root of the number of readings: by
   * simulation of normal residuals, 8 to 32 of them.
   */
  private static final double WIDTH = 0.92;

  /** The largest of some 50 companies lies this many standard deviations out by chance. */
  private static final double CHANCE = 2;

  private static final double NONE = -1;
  private static final double LOUD = Double.MAX_VALUE;

  private LocalScatter() {}

  /** The factors of a survey whose readings all scatter alike. */
  static double[] none(int rows) {
    double[] factor = new double[rows];
    Arrays.fill(factor, 1);
    return factor;
  }

  /**
   * What each reading may be off by as stated, ppm.
   *
   * @param field in ppm, whose slope an error of place follows
   * @param scatter of a reading where none is stated, ppm
   */
  static double[] allowances(
      Sampling s, Expansion field, FaultSearch.Tolerances stated, double scatter) {
    double[] allowance = SharedFault.misplaced(s, field, stated);
    double reading = stated.readingPpm() > 0 ? stated.readingPpm() : scatter;
    for (int i = 0; i < allowance.length; i++) {
      allowance[i] = Math.hypot(allowance[i], reading);
    }
    return allowance;
  }

  /**
   * For each row of the fit the factor by which it may scatter more than the survey, ≥ 1.
   *
   * @param empty rows that hold no reading
   * @param allowance standard deviation of each reading as stated, any unit
   */
  static double[] factors(FitResiduals fit, Sampling s, Set<Integer> empty, double[] allowance) {
    int n = fit.rows();
    double[] factor = none(n);
    double typical = Math.sqrt(Arrays.stream(allowance).map(a -> a * a).average().orElse(1));
    for (int i = 0; i < n; i++) {
      factor[i] = Math.max(1, allowance[i] / typical);
    }
    if (n == 0 || s.probe(0) < 0) {
      return factor;
    }
    double[] size = new double[n];
    int[] probe = new int[n];
    int[] angle = new int[n];
    int[] whole = new int[n];
    for (int i = 0; i < n; i++) {
      double redundancy = fit.redundancy(i);
      size[i] = redundancy > 0.02 ? Math.abs(fit.residual(i)) / Math.sqrt(redundancy) : NONE;
      size[i] = fit.isSetAside(i) && !empty.contains(i) ? LOUD : size[i];
      probe[i] = s.probe(i);
      angle[i] = s.angle(i);
    }
    double all = scatters(size, whole)[0][0];
    raise(factor, probe, scatters(size, probe), all);
    raise(factor, angle, scatters(size, angle), all);
    return factor;
  }

  private static void raise(double[] factor, int[] company, double[][] scatters, double all) {
    for (int i = 0; i < factor.length; i++) {
      double count = scatters[company[i]][1];
      double own = scatters[company[i]][0] / (1 + CHANCE * WIDTH / Math.sqrt(count));
      factor[i] = count >= LEAST && own > factor[i] * all ? own / all : factor[i];
    }
  }

  /** Of each company: [scatter of its quieter part, number of readings]. */
  private static double[][] scatters(double[] size, int[] company) {
    int companies = Arrays.stream(company).max().orElse(-1) + 1;
    double[][] scatters = new double[companies][2];
    double[] own = new double[size.length];
    for (int c = 0; c < companies; c++) {
      int count = 0;
      for (int i = 0; i < size.length; i++) {
        if (company[i] == c && size[i] >= 0) {
          own[count++] = size[i];
        }
      }
      Arrays.sort(own, 0, count);
      int quiet = (int) Math.ceil(QUIET * count);
      double sum = 0;
      for (int k = 0; k < quiet && own[k] < LOUD; k++) {
        sum += own[k] * own[k];
      }
      scatters[c][0] = Math.sqrt(sum / Math.max(1, quiet));
      scatters[c][1] = count;
    }
    return scatters;
  }
}
