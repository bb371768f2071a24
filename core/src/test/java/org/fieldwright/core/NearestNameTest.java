package org.fieldwright.core;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class NearestNameTest {

  /** The textbook pair (Wagner and Fischer, J. ACM 21 (1974) 168) and the four single changes. */
  @ParameterizedTest
  @CsvSource({
    "kitten, sitting, 3",
    "saturday, sunday, 3",
    "shim, shim, 0",
    "shim, shmi, 1",
    "shim, shi, 1",
    "shim, shims, 1",
    "shim, ship, 1",
    "ca, abc, 3", // optimal string alignment; unrestricted transposition would say 2
    "'', abc, 3"
  })
  void countsChanges(String a, String b, int changes) {
    assertThat(NearestName.slips(a, b)).isEqualTo(changes);
    assertThat(NearestName.slips(b, a)).isEqualTo(changes);
  }

  @Test
  void findsTheNameThatWasMeant() {
    List<String> known = List.of("assess", "shim", "compare", "frequency_MHz");
    assertThat(NearestName.of("asess", known)).isEqualTo("assess");
    assertThat(NearestName.of("FREQUENCY_MHZ", known)).isEqualTo("frequency_MHz");
    assertThat(NearestName.of("frequncy_MHz", known)).isEqualTo("frequency_MHz");
    assertThat(NearestName.of("temperature", known)).isNull();
  }
}
