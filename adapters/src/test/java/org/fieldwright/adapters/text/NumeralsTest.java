package org.fieldwright.adapters.text;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.List;
import org.fieldwright.core.BadInput;
import org.junit.jupiter.api.Test;

class NumeralsTest {

  /** JCGM 100:2008, 7.2.2 and 7.2.4: a 100 g standard, u = 0.35 mg, U = 0.79 mg. */
  @Test
  void printsTheGuidesOwnExampleAsTheGuideDoes() {
    assertThat(Numerals.ENGLISH.value(100.02147, 0.00035)).isEqualTo("100.02147");
    assertThat(Numerals.ENGLISH.withUncertainty(100.02147, 0.00079))
        .isEqualTo("100.02147 ± 0.00079");
  }

  /** JCGM 100:2008, 7.2.6: "10.057 62 Ω with u = 27 mΩ is rounded to 10.058 Ω". */
  @Test
  void roundsTheValueToItsUncertainty() {
    assertThat(Numerals.ENGLISH.value(10.05762, 0.027)).isEqualTo("10.058");
  }

  @Test
  void keepsTwoDigitsOfTheUncertaintyWhenRoundingCarries() {
    assertThat(Numerals.ENGLISH.withUncertainty(1.23456, 0.0996)).isEqualTo("1.23 ± 0.10");
    assertThat(Numerals.ENGLISH.withUncertainty(412.3, 37.0)).isEqualTo("412 ± 37");
    assertThat(Numerals.ENGLISH.withUncertainty(5, 0.0)).isEqualTo("5.000");
  }

  @Test
  void writesARealMinusAndNeverMinusZero() {
    assertThat(Numerals.ENGLISH.decimals(-12.34, 1)).isEqualTo("−12.3");
    assertThat(Numerals.ENGLISH.decimals(-0.04, 1)).isEqualTo("0.0");
    assertThat(Numerals.ENGLISH.signed(0.04, 1)).isEqualTo("0.0");
    assertThat(Numerals.ENGLISH.signed(0.06, 1)).isEqualTo("+0.1");
    assertThat(Numerals.FRENCH.signed(1234.5, 1)).isEqualTo("+1\u202f234,5");
    assertThat(Numerals.ENGLISH.signed(Double.NaN, 1)).isEqualTo("–");
    assertThat(Numerals.ENGLISH.signed(Double.POSITIVE_INFINITY, 1)).isEqualTo("–");
  }

  @Test
  void roundsToSignificantDigitsWithoutExponents() {
    assertThat(Numerals.ENGLISH.significant(0.00123456, 3)).isEqualTo("0.00123");
    assertThat(Numerals.ENGLISH.significant(9.9996, 4)).isEqualTo("10.00");
    assertThat(Numerals.ENGLISH.significant(123456, 3)).isEqualTo("123,456");
    assertThat(Numerals.ENGLISH.significant(Double.NaN, 3)).isEqualTo("–");
  }

  /** Unicode CLDR: point and comma in de, narrow no-break space (U+202F) and comma in fr. */
  @Test
  void groupsAndMarksDecimalsAsTheCountryDoes() {
    assertThat(Numerals.ENGLISH.decimals(-1234567.891, 2)).isEqualTo("−1,234,567.89");
    assertThat(Numerals.GERMAN.decimals(-1234567.891, 2)).isEqualTo("−1.234.567,89");
    assertThat(Numerals.FRENCH.decimals(-1234567.891, 2)).isEqualTo("−1\u202f234\u202f567,89");
    assertThat(Numerals.GERMAN.withUncertainty(12.304, 0.42)).isEqualTo("12,30 ± 0,42");
    assertThat(Numerals.FRENCH.sentence("%,d readings", 12345)).isEqualTo("12\u202f345 readings");
    assertThat(Numerals.GERMAN.trimmed(0.500, 3)).isEqualTo("0,5");
  }

  /**
   * CLDR: none in en, a no-break space in de, a narrow one (or a plain one before CLDR 42) in fr.
   */
  @Test
  void spacesThePercentSignAsTheCountryDoes() {
    assertThat(Numerals.ENGLISH.percent(0.9731, 1)).isEqualTo("97.3%");
    assertThat(Numerals.GERMAN.percent(0.9731, 1)).isEqualTo("97,3\u00a0%");
    assertThat(Numerals.FRENCH.percent(0.9731, 1)).matches("97,3[\u00a0\u202f]%");
  }

  /** A comma between values would read as a decimal mark. */
  @Test
  void partsValuesByWhatIsNoDecimalMark() {
    assertThat(Numerals.ENGLISH.list(List.of("1.5", "2.5"))).isEqualTo("1.5, 2.5");
    assertThat(Numerals.GERMAN.list(List.of("1,5", "2,5"))).isEqualTo("1,5; 2,5");
  }

  @Test
  void showsAnUncertaintyHoweverSmall() {
    assertThat(Numerals.ENGLISH.withUncertainty(1.2e-8, 3.4e-9))
        .isEqualTo("0.0000000120 ± 0.0000000034");
  }

  @Test
  void turnsDecimalsOfASentenceAndNothingElse() {
    assertThat(
            Numerals.GERMAN.prose(
                "Off by -0.5 ppm (1.25 ± 0.10); 1234.5 at 90.0°, 3.0 times 2.5, +3345.8 (+0.5)."))
        .isEqualTo(
            "Off by −0,5 ppm (1,25 ± 0,10); 1.234,5 at 90,0°, 3,0 times 2,5, +3.345,8 (+0,5).");
    String names = "visit-2.5.csv, log.1.csv and 9.3.2 of v1.2 on 2026-03-02, limit “1.5”";
    assertThat(Numerals.GERMAN.prose(names)).isEqualTo(names);
  }

  @Test
  void refusesALanguageItDoesNotKnow() {
    assertThat(Numerals.named(null, "--numbers")).isEqualTo(Numerals.ENGLISH);
    assertThatThrownBy(() -> Numerals.named("it", "--numbers"))
        .isInstanceOf(BadInput.class)
        .hasMessage("--numbers: found 'it'; right is one of en, de, fr");
  }
}
