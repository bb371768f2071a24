package org.fieldwright.adapters.text;

/**
 * Decimal numbers as people write them, and nothing else: no NaN, infinity, hexadecimal form, type
 * suffix or grouping, all of which {@link Double#parseDouble} or a spreadsheet would let through.
 */
public final class Numbers {
  private static final double[] POWERS = new double[23]; // 10^22 is the last exact power of ten

  static {
    double p = 1;
    for (int k = 0; k < POWERS.length; k++) {
      POWERS[k] = p;
      p *= 10;
    }
  }

  private Numbers() {}

  /**
   * The number, correctly rounded, or NaN if the text is none or lies beyond the range of a double.
   *
   * <p>Up to 15 digits with a power of ten up to 22 take one exact multiplication or division
   * (Clinger 1990); anything longer goes to {@link Double#parseDouble}.
   *
   * @param decimalMark '.' or ','
   */
  public static double parse(String s, char decimalMark) {
    int end = s.length();
    int i = end > 0 && (s.charAt(0) == '-' || s.charAt(0) == '+') ? 1 : 0;
    boolean negative = i == 1 && s.charAt(0) == '-';
    long mantissa = 0;
    int digits = 0;
    int scale = 0;
    boolean afterMark = false;
    for (; i < end; i++) {
      char c = s.charAt(i);
      if (c >= '0' && c <= '9') {
        mantissa = digits < 18 ? 10 * mantissa + (c - '0') : mantissa;
        digits++;
        scale -= afterMark ? 1 : 0;
      } else if (c == decimalMark && !afterMark) {
        afterMark = true;
      } else {
        break;
      }
    }
    int exponent = digits == 0 ? Integer.MIN_VALUE : exponent(s, i);
    if (exponent == Integer.MIN_VALUE) {
      return Double.NaN;
    }
    int power = scale + exponent;
    if (digits <= 15 && power >= -22 && power <= 22) {
      double value = power < 0 ? mantissa / POWERS[-power] : mantissa * POWERS[power];
      return negative ? -value : value;
    }
    double value = Double.parseDouble(s.replace(decimalMark, '.'));
    return Double.isInfinite(value) ? Double.NaN : value;
  }

  /** The exponent that starts at {@code i}, 0 if the text ends there, MIN_VALUE if malformed. */
  private static int exponent(String s, int i) {
    if (i == s.length()) {
      return 0;
    }
    if (s.charAt(i) != 'e' && s.charAt(i) != 'E') {
      return Integer.MIN_VALUE;
    }
    int k = i + 1;
    boolean signed = k < s.length() && (s.charAt(k) == '-' || s.charAt(k) == '+');
    int first = signed ? k + 1 : k;
    int value = 0;
    for (int j = first; j < s.length(); j++) {
      char c = s.charAt(j);
      if (c < '0' || c > '9') {
        return Integer.MIN_VALUE;
      }
      value = Math.min(100_000, 10 * value + (c - '0'));
    }
    if (first == s.length()) {
      return Integer.MIN_VALUE;
    }
    return signed && s.charAt(k) == '-' ? -value : value;
  }
}
