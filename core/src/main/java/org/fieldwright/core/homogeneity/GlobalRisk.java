package org.fieldwright.core.homogeneity;

import org.fieldwright.core.geometry.GaussLegendre;

/**
 * What a rule of decision risks over all magnets like this one, before this one was measured (JCGM
 * 106:2012, 9.5.2 and 9.5.4): the values of such magnets are taken as normally distributed, and so
 * are measured values about the true one.
 *
 * @param consumer probability that a magnet is beyond its limit and declared met
 * @param producer probability that a magnet is within its limit and declared not met
 * @param undecided probability that no decision is reached
 */
public record GlobalRisk(double consumer, double producer, double undecided) {
  private static final GaussLegendre RULE = GaussLegendre.of(48);
  private static final double FARTHEST = 9; // standard deviations; 1e-19 of a normal lies beyond

  /**
   * What is known of such magnets beforehand.
   *
   * @param mean of their values, in the unit of the limit
   * @param deviation standard deviation of their values, above 0
   */
  public record Prior(double mean, double deviation) {}

  /**
   * The risks of guarded acceptance against a limit: an upper one, for drift on either side.
   *
   * @param prior of signed values where the limit is one on drift
   * @param u standard uncertainty of a measured value
   * @param k guard band in standard uncertainties
   */
  public static GlobalRisk of(Prior prior, double u, Limit limit, double k) {
    double upper = limit.limit();
    double lower = limit.isTwoSided() ? -upper : Double.NEGATIVE_INFINITY;
    double low = prior.mean() - FARTHEST * prior.deviation();
    double high = prior.mean() + FARTHEST * prior.deviation();
    double from = Math.max(low, Math.min(high, lower));
    double to = Math.max(low, Math.min(high, upper));
    Range met = new Range(lower + k * u, upper - k * u);
    Range notRejected = new Range(lower - k * u, upper + k * u);
    double falseMet = integral(prior, u, low, from, met) + integral(prior, u, to, high, met);
    double rightlyKept = integral(prior, u, from, to, notRejected);
    double kept =
        rightlyKept
            + integral(prior, u, low, from, notRejected)
            + integral(prior, u, to, high, notRejected);
    double all = falseMet + integral(prior, u, from, to, met);
    double within = share(prior, from, to);
    return new GlobalRisk(falseMet, Math.max(0, within - rightlyKept), Math.max(0, kept - all));
  }

  /** Of measured values; empty where its ends have crossed. */
  private record Range(double low, double high) {
    double probability(double value, double u) {
      return high <= low
          ? 0
          : ConformityRisk.conformity(value, u, high) - ConformityRisk.conformity(value, u, low);
    }
  }

  private static double share(Prior prior, double from, double to) {
    return ConformityRisk.conformity(prior.mean(), prior.deviation(), to)
        - ConformityRisk.conformity(prior.mean(), prior.deviation(), from);
  }

  /** Probability that the true value lies between two and the measured one in a range. */
  private static double integral(Prior prior, double u, double from, double to, Range range) {
    if (!(to > from)) {
      return 0;
    }
    // Panels so fine that neither bell is missed, whichever is the narrower.
    double width = Math.min(prior.deviation(), u > 0 ? u : prior.deviation());
    int panels = (int) Math.min(2000, Math.max(1, Math.ceil((to - from) / (2 * width))));
    double sum = 0;
    for (int p = 0; p < panels; p++) {
      double half = 0.5 * (to - from) / panels;
      double centre = from + (2 * p + 1) * half;
      for (int i = 0; i < RULE.size(); i++) {
        double value = centre + half * RULE.node(i);
        double z = (value - prior.mean()) / prior.deviation();
        double density = Math.exp(-0.5 * z * z) / (prior.deviation() * Math.sqrt(2 * Math.PI));
        sum += half * RULE.weight(i) * density * range.probability(value, u);
      }
    }
    return sum;
  }
}
