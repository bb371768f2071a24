package org.fieldwright.adapters.instrument.simulated;

import java.util.SplittableRandom;
import org.fieldwright.core.simulation.ReaderConditions;

/** Chooses what goes wrong on the way of an answer; the same seed chooses the same. */
final class Mischief {
  private final ReaderConditions conditions;
  private final SplittableRandom random;
  private int count;

  Mischief(ReaderConditions conditions, long seed) {
    this.conditions = conditions;
    this.random = new SplittableRandom(seed);
  }

  /** What can happen to an answer. */
  enum Fate {
    ARRIVES,
    CUT,
    GARBLED,
    LATE
  }

  synchronized Fate next() {
    double draw = random.nextDouble();
    Fate fate = fate(draw);
    count += fate == Fate.ARRIVES ? 0 : 1;
    return fate;
  }

  private Fate fate(double draw) {
    double cut = conditions.cutRate();
    double garbled = cut + conditions.garbledRate();
    double late = garbled + conditions.lateRate();
    if (draw < cut) {
      return Fate.CUT;
    }
    if (draw < garbled) {
      return Fate.GARBLED;
    }
    return draw < late ? Fate.LATE : Fate.ARRIVES;
  }

  /** How many answers met with something so far. */
  synchronized int count() {
    return count;
  }

  /** A character lost, doubled, changed, or the end missing. */
  synchronized String garble(String answer) {
    int at = random.nextInt(answer.length());
    String before = answer.substring(0, at);
    String after = answer.substring(at + 1);
    return switch (random.nextInt(4)) {
      case 0 -> before + after;
      case 1 -> before + answer.charAt(at) + answer.charAt(at) + after;
      case 2 -> before + (char) (answer.charAt(at) ^ (1 << random.nextInt(7))) + after;
      default -> before;
    };
  }
}
