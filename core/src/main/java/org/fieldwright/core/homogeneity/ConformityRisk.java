package org.fieldwright.core.homogeneity;

import org.fieldwright.core.homogeneity.LimitResult.Verdict;
import org.hipparchus.special.Erf;
import org.jspecify.annotations.Nullable;

/**
 * What a verdict risks (JCGM 106:2012, clauses 7 and 9.3): with a normal distribution of the value
 * about its estimate, the probability that the magnet keeps the limit.
 *
 * @param conformity probability that the true value is within the limit
 * @param consumer specific consumer's risk: that a value declared met is beyond the limit; null
 *     where the verdict is another
 * @param producer specific producer's risk: that a value declared not met is within the limit; null
 *     where the verdict is another
 */
public record ConformityRisk(
    double conformity, @Nullable Double consumer, @Nullable Double producer) {

  /**
   * Of a result against its limit: an upper one, for drift on either side. Null where it was not
   * assessed.
   */
  public static @Nullable ConformityRisk of(LimitResult result) {
    if (result.valuePpm() == null || result.uncertaintyPpm() == null) {
      return null;
    }
    double limit = result.limit().limit();
    double within = conformity(result.valuePpm(), result.uncertaintyPpm(), limit);
    // The other tail by itself: 1 − p has no digits left.
    double beyond = conformity(-result.valuePpm(), result.uncertaintyPpm(), -limit);
    if (result.limit().isTwoSided()) { // either way: 7.5, eq. 7
      double wrongWay = conformity(result.valuePpm(), result.uncertaintyPpm(), -limit);
      within = Math.max(0, within - wrongWay);
      beyond += wrongWay;
    }
    return new ConformityRisk(
        within,
        result.verdict() == Verdict.MET ? (Double) beyond : null,
        result.verdict() == Verdict.NOT_MET ? (Double) within : null);
  }

  /** Probability that a value known to {@code u} lies at or below an upper limit (7.4, eq. 4). */
  public static double conformity(double value, double u, double limit) {
    if (u == 0) {
      return value <= limit ? 1 : 0;
    }
    return 0.5 * Erf.erfc((value - limit) / (u * Math.sqrt(2)));
  }
}
