package org.fieldwright.app.capture;

import java.io.IOException;
import org.fieldwright.adapters.instrument.ProbeReader;
import org.fieldwright.core.reading.ProbeArray;
import org.fieldwright.core.reading.TurnWatch;

/** Watches one probe for a turn of the array. */
final class TurnWatcher {
  private final ProbeReader reader;
  private final int probe;
  private final TurnWatch watch;
  private double reference; // T
  private boolean told;

  /**
   * @param probe the one that shows a turn best
   */
  TurnWatcher(ProbeReader reader, ProbeArray array, int probe) {
    this.reader = reader;
    this.probe = probe;
    this.watch = new TurnWatch(array.uncertainty().readingPpm());
  }

  /**
   * Reads the probe once.
   *
   * @param nextDeg where the array is to be turned: a simulated one is, once its reading before the
   *     turn is known
   */
  TurnWatch.State look(double nextDeg) throws IOException {
    if (watch.hasBase() && !told) {
      reader.atAngle(nextDeg);
      told = true;
    }
    Double field = reader.read(probe).field();
    if (field != null && reference == 0) {
      reference = field;
    }
    return watch.add(field == null ? null : (Double) ((field / reference - 1) * 1e6));
  }
}
