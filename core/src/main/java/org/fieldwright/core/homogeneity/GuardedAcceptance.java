package org.fieldwright.core.homogeneity;

import org.fieldwright.core.homogeneity.LimitResult.Verdict;

/**
 * The decision against an upper limit when the value is uncertain (JCGM 106:2012, 8.3.2 and 8.3.3:
 * guard bands on both sides): met only if the value is clear of the limit from below, not met only
 * if it is clear from above, otherwise undecided.
 */
public final class GuardedAcceptance {
  /** One-sided 95 % of a normal distribution (JCGM 106:2012, table 1). */
  public static final double DEFAULT_K = 1.645;

  private GuardedAcceptance() {}

  /**
   * The verdict on a value.
   *
   * @param u standard uncertainty of the value
   * @param k guard band in standard uncertainties
   */
  public static Verdict decide(double value, double u, double limit, double k) {
    if (value + k * u <= limit) {
      return Verdict.MET;
    }
    return value - k * u > limit ? Verdict.NOT_MET : Verdict.UNDECIDED;
  }

  /** {@link #decide(double, double, double, double)} with k = 1.645. */
  public static Verdict decide(double value, double u, double limit) {
    return decide(value, u, limit, DEFAULT_K);
  }
}
