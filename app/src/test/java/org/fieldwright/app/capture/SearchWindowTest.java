package org.fieldwright.app.capture;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.fieldwright.core.reading.ProbeArray.Range;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;

/** Which silent probes may lie outside: worked out by hand on arrays of eight. */
class SearchWindowTest {
  private static final Range WINDOW = new Range(23.40, 23.44);

  private static List<Integer> outside(@Nullable Double... shown) {
    return SearchWindow.atTheEdge(new ArrayList<>(Arrays.asList(shown)), WINDOW);
  }

  @Test
  void oneDeadInTheMiddleWidensNothing() {
    assertThat(outside(23.418, 23.419, 23.42, null, 23.421, 23.42, 23.419, 23.418)).isEmpty();
    assertThat(outside(null, 23.419, 23.42, 23.42, 23.421, 23.42, 23.419, 23.418)).isEmpty();
  }

  @Test
  void beyondNeighboursAtTheEdgeTheFieldGoesOn() {
    assertThat(outside(null, 23.402, 23.41, 23.42, 23.421, 23.42, 23.419, 23.418))
        .containsExactly(0);
    assertThat(outside(23.42, 23.421, 23.422, 23.42, 23.425, 23.43, 23.437, null))
        .containsExactly(7);
  }

  /** A slope of 0.008 MHz from probe to probe reaches the edge from 0.012 MHz away. */
  @Test
  void steepNeighboursReachTheEdgeFromFurtherAway() {
    assertThat(outside(23.412, 23.42, 23.428, null, null, 23.428, 23.42, 23.412))
        .containsExactly(3, 4);
  }

  @Test
  void halfTheArraySilentMeansTheWindowIsWrong() {
    assertThat(outside(null, null, null, null, 23.42, 23.42, 23.42, 23.42))
        .containsExactly(0, 1, 2, 3);
    assertThat(outside(null, null, null, null, null, null, null, null)).hasSize(8);
  }
}
