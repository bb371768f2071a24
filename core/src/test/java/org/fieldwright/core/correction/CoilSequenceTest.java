package org.fieldwright.core.correction;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;
import org.fieldwright.core.harmonic.Expansion;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class CoilSequenceTest {

  /** By hand: Z gains 0.1 A per ampere of X; X goes to 1 A last, so Z is set 0.1 A too low. */
  @Test
  void theEarlierCoilIsSetAsideByWhatTheLaterOneWillInduce() {
    List<Coil> coils = List.of(coil("Z", 0, Map.of()), coil("X", 0, Map.of("Z", 0.1)));
    List<CoilSequence.Turn> turns = CoilSequence.of(coils, Map.of("Z", 2.0, "X", 1.0));
    assertThat(turns.get(0).setting()).isCloseTo(1.9, within(1e-12));
    assertThat(turns.get(1).setting()).isCloseTo(1.0, within(1e-12));
  }

  /** Plays the turns one after the other: all currents end where they were wanted. */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10})
  void theCurrentsEndWhereTheyWereWanted(long seed) {
    SplittableRandom random = new SplittableRandom(seed);
    int n = 2 + random.nextInt(7);
    List<Coil> coils = new ArrayList<>();
    Map<String, Double> wanted = new HashMap<>();
    Map<String, Double> now = new HashMap<>();
    for (int k = 0; k < n; k++) {
      Map<String, Double> induces = new HashMap<>();
      for (int j = 0; j < n; j++) {
        if (j != k) {
          induces.put("c" + j, random.nextDouble(-0.2, 0.2));
        }
      }
      coils.add(coil("c" + k, random.nextDouble(-1, 1), induces));
      wanted.put("c" + k, random.nextDouble(-5, 5));
      now.put("c" + k, coils.get(k).set());
    }
    for (CoilSequence.Turn turn : CoilSequence.of(coils, wanted)) {
      double driven = turn.setting() - now.get(turn.coil().id());
      turn.coil().induces().forEach((id, gain) -> now.merge(id, gain * driven, Double::sum));
      now.put(turn.coil().id(), turn.setting());
    }
    wanted.forEach(
        (id, current) ->
            assertThat(now.get(id)).as("seed %d, %s", seed, id).isCloseTo(current, within(1e-9)));
  }

  @Test
  void saysWhereATurnIsBeyondTheLimit() {
    List<Coil> coils = List.of(coil("Z", 0, Map.of()), coil("X", 0, Map.of("Z", -0.5)));
    List<CoilSequence.Turn> turns = CoilSequence.of(coils, Map.of("Z", 9.0, "X", 4.0));
    assertThat(CoilSequence.warnings(turns)).singleElement().asString().contains("coil Z", "11");
  }

  private static Coil coil(String id, double set, Map<String, Double> induces) {
    return new Coil(id, 10, 0, set, Expansion.zero(1, 0.2), induces);
  }
}
