package org.fieldwright.core.simulation;

import java.util.SplittableRandom;

/**
 * Random numbers that are the same on every machine for the same seed. What must not change when
 * something else is added draws from its own {@link #of stream}.
 */
final class Draws {
  private final SplittableRandom random;

  private Draws(long seed) {
    this.random = new SplittableRandom(seed);
  }

  /** The stream of a seed and a place in it, named by whole numbers. */
  static Draws of(long seed, long... name) {
    long mixed = seed;
    for (long part : name) {
      mixed = new SplittableRandom(mixed ^ part * 0x9E3779B97F4A7C15L).nextLong();
    }
    return new Draws(mixed);
  }

  /**
   * Standard normal, by Box and Muller (Ann. Math. Statist. 29 (1958) 610); StrictMath, because
   * Math may differ in the last digit between machines.
   */
  double normal() {
    double radius = StrictMath.sqrt(-2 * StrictMath.log(1 - random.nextDouble()));
    return radius * StrictMath.cos(2 * StrictMath.PI * random.nextDouble());
  }
}
