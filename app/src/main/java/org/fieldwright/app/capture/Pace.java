package org.fieldwright.app.capture;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.TimeUnit;
import org.fieldwright.core.reading.TurnWatch;
import org.jspecify.annotations.Nullable;

/** When the next reading begins, and what is seen of the array until then. */
final class Pace {
  /** Between two looks, where nothing is waited for but what someone asks. */
  static final long IDLE_MILLIS = 5000;

  private static final long WATCH_MILLIS = 100; // between two looks, for readers that are quick
  private static final double NANO = 1e-9;

  private Advance advance = new Advance(Advance.Kind.HAND, 0);
  private TurnWatch.@Nullable State turn;
  private long due; // nanoTime at which the timer reads

  void by(Advance what) {
    advance = what;
    restart();
  }

  /** The array may be turned from now on. */
  void restart() {
    turn = null;
    due = System.nanoTime() + (long) (advance.seconds() / NANO);
  }

  /** Whether the timer reads now. */
  boolean isDue() {
    return advance.kind() == Advance.Kind.TIMER && System.nanoTime() >= due;
  }

  /** Whether a turn of the array is to be looked for. */
  boolean watches() {
    return advance.kind() == Advance.Kind.SETTLED;
  }

  /**
   * Takes what was seen of the array.
   *
   * @return whether it is something new
   */
  boolean saw(TurnWatch.State now) {
    boolean isNew = now != turn;
    turn = now;
    return isNew;
  }

  /** Until something is to be done. */
  long millis() {
    return switch (advance.kind()) {
      case HAND -> IDLE_MILLIS;
      case TIMER -> Math.max(1, TimeUnit.NANOSECONDS.toMillis(due - System.nanoTime()));
      case SETTLED -> WATCH_MILLIS;
    };
  }

  /**
   * As JSON.
   *
   * @param ready whether the next reading is waited for
   */
  void put(ObjectNode node, boolean ready) {
    boolean timed = ready && advance.kind() == Advance.Kind.TIMER;
    double seconds = Math.max(0, (due - System.nanoTime()) * NANO);
    node.put("kind", advance.kind().id())
        .put("seconds", advance.seconds())
        .put("seconds_to_read", timed ? (Double) seconds : null)
        .put("turn", turn == null ? null : LiveWork.id(turn));
  }
}
