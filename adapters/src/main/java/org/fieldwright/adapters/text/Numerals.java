package org.fieldwright.adapters.text;

import java.math.BigDecimal;
import java.math.MathContext;
import java.math.RoundingMode;
import java.text.DecimalFormatSymbols;
import java.text.NumberFormat;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import org.fieldwright.core.BadInput;
import org.jspecify.annotations.Nullable;

/**
 * How numbers are written for a person to read: as many digits as are known, a real minus sign, and
 * decimal mark, grouping and percent sign as the country has them (Unicode CLDR, by way of the
 * JDK). Files for machines do not go through here.
 */
public enum Numerals {
  ENGLISH("en", "English", Locale.UK),
  GERMAN("de", "German", Locale.GERMANY),
  FRENCH("fr", "French", Locale.FRANCE);

  private static final Pattern LONE_DECIMAL =
      Pattern.compile("(?<=(?:^|[\\s(])\\+?)[-−]?\\d+\\.\\d+(?=$|[\\s,;:)%°]|\\.(?:\\s|$))");

  private static final int MOST_DECIMALS = 6;
  private static final int MOST_DECIMALS_OF_SMALL = 12;
  private static final int DIGITS_WITHOUT_UNCERTAINTY = 4;

  private final String id;
  private final String language;
  private final Locale locale;

  Numerals(String id, String language, Locale locale) {
    this.id = id;
    this.language = language;
    this.locale = locale;
  }

  /** As options, requests and the page's settings name it. */
  public String id() {
    return id;
  }

  /** The language whose numbers these are, in English. */
  public String language() {
    return language;
  }

  /**
   * By name; English where none is given.
   *
   * @param where named in the complaint about an unknown one
   */
  public static Numerals named(@Nullable String id, String where) {
    if (id == null) {
      return ENGLISH;
    }
    return Arrays.stream(values())
        .filter(n -> n.id.equals(id))
        .findFirst()
        .orElseThrow(
            () ->
                new BadInput(
                    "%s: found '%s'; right is one of %s"
                        .formatted(
                            where,
                            id,
                            Arrays.stream(values())
                                .map(Numerals::id)
                                .collect(Collectors.joining(", ")))));
  }

  /**
   * A value rounded to the second significant digit of its uncertainty (JCGM 100, 7.2.6); four
   * significant digits where the uncertainty is zero or unknown.
   */
  public String value(double value, @Nullable Double uncertainty) {
    return uncertainty == null || !(uncertainty > 0)
        ? significant(value, DIGITS_WITHOUT_UNCERTAINTY)
        : decimals(value, decimalsFor(uncertainty));
  }

  /** "12.30 ± 0.42"; the value alone where the uncertainty is zero or unknown. */
  public String withUncertainty(double value, @Nullable Double uncertainty) {
    if (uncertainty == null || !(uncertainty > 0)) {
      return value(value, uncertainty);
    }
    int decimals = decimalsFor(uncertainty);
    return decimals(value, decimals) + " ± " + decimals(uncertainty, decimals);
  }

  /** Rounded to so many significant digits, trailing zeros kept, never in exponent form. */
  public String significant(double value, int digits) {
    if (value == 0 || !Double.isFinite(value)) {
      return decimals(value, 0);
    }
    BigDecimal rounded = new BigDecimal(value).round(new MathContext(digits));
    int decimals = digits - rounded.precision() + rounded.scale();
    return decimals(value, Math.max(0, Math.min(MOST_DECIMALS, decimals)));
  }

  /** Rounded to so many decimals; what rounds to zero carries no sign. */
  public String decimals(double value, int decimals) {
    return written(value, decimals, decimals);
  }

  /** At most so many decimals, trailing zeros dropped. */
  public String trimmed(double value, int decimals) {
    return written(value, 0, decimals);
  }

  /** A whole number. */
  public String count(long count) {
    return NumberFormat.getIntegerInstance(locale).format(count);
  }

  /** As {@link #decimals} with a plus sign on what is above zero. */
  public String signed(double value, int decimals) {
    String text = decimals(value, decimals);
    return value > 0 && text.chars().anyMatch(c -> c >= '1' && c <= '9') ? "+" + text : text;
  }

  /** A part of one as a percentage with its sign. */
  public String percent(double part, int decimals) {
    NumberFormat format = NumberFormat.getPercentInstance(locale);
    format.setMinimumFractionDigits(decimals);
    format.setMaximumFractionDigits(decimals);
    format.setRoundingMode(RoundingMode.HALF_UP);
    return format.format(part);
  }

  /** Values one after the other, parted by what is no decimal mark. */
  public String list(List<String> values) {
    boolean comma = DecimalFormatSymbols.getInstance(locale).getDecimalSeparator() == ',';
    return String.join(comma ? "; " : ", ", values);
  }

  /**
   * A whole sentence with its values: texts by {@code %s}, counts by {@code %,d}.
   *
   * @see java.util.Formatter
   */
  public String sentence(String template, Object... values) {
    return String.format(locale, template, values);
  }

  /**
   * A sentence of the computation, which writes decimals with a point, in this way of writing. Only
   * what stands by itself is taken for a decimal number: names, dates and numbers of clauses stay.
   */
  public String prose(String sentence) {
    return LONE_DECIMAL
        .matcher(sentence)
        .replaceAll(
            m ->
                Matcher.quoteReplacement(
                    decimals(
                        Double.parseDouble(m.group().replace('−', '-')),
                        m.group().length() - m.group().indexOf('.') - 1)));
  }

  private String written(double value, int leastDecimals, int mostDecimals) {
    if (!Double.isFinite(value)) {
      return "–";
    }
    BigDecimal rounded = new BigDecimal(value).setScale(mostDecimals, RoundingMode.HALF_UP);
    NumberFormat format = NumberFormat.getNumberInstance(locale);
    format.setMinimumFractionDigits(leastDecimals);
    format.setMaximumFractionDigits(mostDecimals);
    String digits = format.format(rounded.abs());
    return rounded.signum() < 0 ? "−" + digits : digits;
  }

  /** Never so few that the uncertainty itself reads as nothing. */
  private static int decimalsFor(double uncertainty) {
    BigDecimal two = new BigDecimal(uncertainty).round(new MathContext(2));
    int decimals = 2 - two.precision() + two.scale();
    return Math.max(0, Math.min(MOST_DECIMALS_OF_SMALL, decimals));
  }
}
