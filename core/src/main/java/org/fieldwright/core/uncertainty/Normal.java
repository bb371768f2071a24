package org.fieldwright.core.uncertainty;

/** The standard normal distribution. */
public final class Normal {
  private Normal() {}

  /**
   * Quantile of the standard normal distribution (Acklam's rational approximation, relative error
   * below 1.2e-9; common practice, from memory).
   */
  public static double quantile(double p) {
    double q = p - 0.5;
    if (Math.abs(q) <= 0.47575) {
      double r = q * q;
      return (((((-39.69683028665376 * r + 220.9460984245205) * r - 275.9285104469687) * r
                              + 138.3577518672690)
                          * r
                      - 30.66479806614716)
                  * r
              + 2.506628277459239)
          * q
          / (((((-54.47609879822406 * r + 161.5858368580409) * r - 155.6989798598866) * r
                              + 66.80131188771972)
                          * r
                      - 13.28068155288572)
                  * r
              + 1);
    }
    double tail = Math.sqrt(-2 * Math.log(q < 0 ? p : 1 - p));
    double x =
        (((((-0.007784894002430293 * tail - 0.3223964580411365) * tail - 2.400758277161838) * tail
                                - 2.549732539343734)
                            * tail
                        + 4.374664141464968)
                    * tail
                + 2.938163982698783)
            / ((((0.007784695709041462 * tail + 0.3224671290700398) * tail + 2.445134137142996)
                            * tail
                        + 3.754408661907416)
                    * tail
                + 1);
    return q < 0 ? x : -x;
  }
}
