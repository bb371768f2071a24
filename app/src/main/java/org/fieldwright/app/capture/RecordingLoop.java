package org.fieldwright.app.capture;

import java.io.IOException;
import java.util.concurrent.TimeUnit;
import java.util.function.BooleanSupplier;
import org.jspecify.annotations.Nullable;

/** Reads round after round until it is told to stop; a reader that is gone is waited for. */
public final class RecordingLoop {
  private static final double LONGEST_NAP_S = 0.2;
  private static final double LEAST_PATIENCE_S = 1;
  private static final double NANOS = 1e9;

  private final Recording recording;
  private final double intervalSeconds;
  private final double showSeconds;
  private final Listener listener;
  private final BooleanSupplier stop;
  private String trouble = "";

  /** Who looks on. */
  public interface Listener {
    /** Now and then, and once at the end. */
    void show(Figures figures);

    /** An alarm, or that one is over. */
    void say(String text);

    /** A reading could not be done or kept; it is tried again. Null once it could again. */
    void trouble(@Nullable String why);
  }

  /**
   * @param showSeconds how often the figures are shown
   * @param stop asked several times a second
   */
  public RecordingLoop(
      Recording recording,
      double intervalSeconds,
      double showSeconds,
      Listener listener,
      BooleanSupplier stop) {
    this.recording = recording;
    this.intervalSeconds = intervalSeconds;
    this.showSeconds = showSeconds;
    this.listener = listener;
    this.stop = stop;
  }

  /** Returns once it is stopped, after the figures were shown once more. */
  public void run() throws IOException, InterruptedException {
    double shown = Double.NEGATIVE_INFINITY;
    while (!stop.getAsBoolean()) {
      double start = System.nanoTime() / NANOS;
      try {
        recording.read().forEach(listener::say);
        if (!trouble.isEmpty()) {
          listener.trouble(null);
          trouble = "";
        }
        if (start - shown >= showSeconds) {
          listener.show(recording.figures(listener::say));
          shown = start;
        }
        pauseUntil(start + intervalSeconds);
      } catch (IOException e) {
        if (!trouble.equals(e.getMessage())) {
          trouble = String.valueOf(e.getMessage());
          listener.trouble(trouble + ". What was read is kept; trying again.");
        }
        pauseUntil(start + Math.max(LEAST_PATIENCE_S, intervalSeconds));
      }
    }
    listener.show(recording.figures(listener::say));
  }

  private void pauseUntil(double due) throws InterruptedException {
    double left = due - System.nanoTime() / NANOS;
    while (left > 0 && !stop.getAsBoolean()) {
      TimeUnit.NANOSECONDS.sleep((long) (NANOS * Math.min(left, LONGEST_NAP_S)));
      left = due - System.nanoTime() / NANOS;
    }
  }
}
