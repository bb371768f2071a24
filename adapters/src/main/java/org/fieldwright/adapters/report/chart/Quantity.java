package org.fieldwright.adapters.report.chart;

import java.math.BigDecimal;
import java.math.MathContext;
import java.math.RoundingMode;
import org.jspecify.annotations.Nullable;

/** Numbers as a person should read them: as many digits as are known, a real minus sign. */
public final class Quantity {
  private static final int MOST_DECIMALS = 6;
  private static final int DIGITS_WITHOUT_UNCERTAINTY = 4;

  private Quantity() {}

  /**
   * A value rounded to the second significant digit of its uncertainty (JCGM 100, 7.2.6); four
   * significant digits where the uncertainty is zero or unknown.
   */
  public static String value(double value, @Nullable Double uncertainty) {
    return uncertainty == null || !(uncertainty > 0)
        ? significant(value, DIGITS_WITHOUT_UNCERTAINTY)
        : decimals(value, decimalsFor(uncertainty));
  }

  /** "12.30 ± 0.42"; the value alone where the uncertainty is zero or unknown. */
  public static String withUncertainty(double value, @Nullable Double uncertainty) {
    if (uncertainty == null || !(uncertainty > 0)) {
      return value(value, uncertainty);
    }
    int decimals = decimalsFor(uncertainty);
    return decimals(value, decimals) + " ± " + decimals(uncertainty, decimals);
  }

  /** Rounded to so many significant digits, trailing zeros kept, never in exponent form. */
  public static String significant(double value, int digits) {
    if (value == 0 || !Double.isFinite(value)) {
      return decimals(value, 0);
    }
    BigDecimal rounded = new BigDecimal(value).round(new MathContext(digits));
    int decimals = digits - rounded.precision() + rounded.scale();
    return decimals(value, Math.max(0, Math.min(MOST_DECIMALS, decimals)));
  }

  /** Rounded to so many decimals; what rounds to zero carries no sign. */
  public static String decimals(double value, int decimals) {
    if (!Double.isFinite(value)) {
      return "–";
    }
    BigDecimal rounded = new BigDecimal(value).setScale(decimals, RoundingMode.HALF_UP);
    String digits = rounded.abs().toPlainString();
    return rounded.signum() < 0 ? "−" + digits : digits;
  }

  /** As {@link #decimals} with a plus sign on what is above zero. */
  public static String signed(double value, int decimals) {
    String text = decimals(value, decimals);
    return value > 0 && text.chars().anyMatch(c -> c >= '1' && c <= '9') ? "+" + text : text;
  }

  /** "1 visit", "2 visits": of things whose plural ends in s. */
  public static String counted(int count, String one) {
    return count == 1 ? "1 " + one : count + " " + one + "s";
  }

  private static int decimalsFor(double uncertainty) {
    BigDecimal two = new BigDecimal(uncertainty).round(new MathContext(2));
    int decimals = 2 - two.precision() + two.scale();
    return Math.max(0, Math.min(MOST_DECIMALS, decimals));
  }
}
