package org.fieldwright.core;

/**
 * Handed in from above by whoever waits for a long search: hears how far it is and says when to
 * stop. The searches themselves hold no clock and no thread pool.
 */
public interface Progress {

  /** Says nothing and never stops. */
  Progress NONE =
      new Progress() {
        @Override
        public void report(String stage, double fraction, double bestSoFar) {}

        @Override
        public boolean shouldStop() {
          return false;
        }
      };

  /**
   * Called now and then, from the searching thread.
   *
   * @param stage what is being done, in a few words
   * @param fraction 0..1, or NaN where unknown
   * @param bestSoFar what the best plan so far leaves, ppm, or while the bound is sought what no
   *     plan can beat; NaN where there is neither
   */
  void report(String stage, double fraction, double bestSoFar);

  /** True once the best so far should be returned. Cheap enough for an inner loop. */
  boolean shouldStop();
}
