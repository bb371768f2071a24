package org.fieldwright.core.reading;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Tells from one probe, read over and over, that the array was turned and has come to rest.
 *
 * <p>With σ the scatter of a reading: a turn is seen when {@value #CONFIRM} readings in a row lie
 * more than {@value #CHANGE}·σ from the mean of those before, or have no lock; rest, when after
 * that {@value #QUIET} readings in a row have locked and lie within {@value #SPREAD}·σ of each
 * other. Of readings that are normal and at rest, one in 10⁸ lies 6σ off, and four lie within 5σ in
 * 99.8 % of cases. Readings before the turn are forgotten after {@value #MEMORY}, so that a drift
 * is no turn.
 *
 * <p>Not thread-safe.
 */
public final class TurnWatch {
  private static final int BASE = 3;
  private static final int BASE_UNSTATED = 16;
  private static final int MEMORY = 16;
  private static final int CONFIRM = 2;
  private static final int QUIET = 4;
  private static final double CHANGE = 6;
  private static final double SPREAD = 5;

  /** Readers do not resolve less. */
  private static final double LEAST_PPM = 0.001;

  private final @Nullable Double stated;
  private final Deque<Double> before = new ArrayDeque<>();
  private final List<Double> strange = new ArrayList<>(); // NaN: no lock
  private final Deque<Double> after = new ArrayDeque<>();
  private State state = State.STILL;

  /** What the array does. */
  public enum State {
    /** It was not turned yet. */
    STILL,
    TURNING,
    /** It was turned and stands. */
    SETTLED
  }

  /**
   * @param scatterPpm standard deviation of a reading; null = as the readings before the turn have
   *     it
   */
  public TurnWatch(@Nullable Double scatterPpm) {
    stated = scatterPpm != null && scatterPpm > 0 ? scatterPpm : null;
  }

  /** Whether it knows what the probe reads before the turn. */
  public boolean hasBase() {
    return before.size() >= (stated == null ? BASE_UNSTATED : BASE);
  }

  /**
   * Takes one more reading.
   *
   * @param ppm relative to any field; null if it did not lock
   */
  public State add(@Nullable Double ppm) {
    double value = ppm == null ? Double.NaN : ppm;
    if (state == State.STILL) {
      still(value);
    } else {
      moving(value);
    }
    return state;
  }

  private void still(double value) {
    boolean apart = hasBase() && !(Math.abs(value - mean()) <= CHANGE * scatter());
    if (apart) {
      strange.add(value);
      if (strange.size() == CONFIRM) {
        state = State.TURNING;
        strange.forEach(this::moving);
      }
      return;
    }
    strange.clear();
    if (!Double.isNaN(value)) {
      before.addLast(value);
      if (before.size() > MEMORY) {
        before.removeFirst();
      }
    }
  }

  private void moving(double value) {
    if (Double.isNaN(value)) {
      after.clear();
      state = State.TURNING;
      return;
    }
    after.addLast(value);
    if (after.size() > QUIET) {
      after.removeFirst();
    }
    double low = after.stream().mapToDouble(v -> v).min().orElse(0);
    double high = after.stream().mapToDouble(v -> v).max().orElse(0);
    boolean rests = after.size() == QUIET && high - low <= SPREAD * scatter();
    state = rests ? State.SETTLED : State.TURNING;
  }

  private double mean() {
    return before.stream().mapToDouble(v -> v).average().orElse(0);
  }

  /** Scatter of a reading; from differences of neighbours where it is not stated, free of drift. */
  private double scatter() {
    if (stated != null) {
      return stated;
    }
    double square = 0;
    Double last = null;
    for (double v : before) {
      square += last == null ? 0 : (v - last) * (v - last) / 2;
      last = v;
    }
    return Math.max(LEAST_PPM, Math.sqrt(square / Math.max(1, before.size() - 1)));
  }
}
