package org.fieldwright.app.capture;

import java.io.IOException;
import java.util.concurrent.TimeUnit;
import java.util.function.BooleanSupplier;
import java.util.function.Consumer;

/** Reads round after round until it is told to stop; a reader that is gone is waited for. */
public final class RecordingLoop {
  private static final double LONGEST_NAP_S = 0.2;
  private static final double LEAST_PATIENCE_S = 1;
  private static final double NANOS = 1e9;

  private final Recording recording;
  private final double intervalSeconds;
  private final double showSeconds;
  private final Consumer<Figures> show;
  private final Consumer<String> say;
  private final BooleanSupplier stop;
  private String trouble = "";

  /**
   * @param showSeconds how often the figures are shown
   * @param say hears alarms and troubles
   * @param stop asked several times a second
   */
  public RecordingLoop(
      Recording recording,
      double intervalSeconds,
      double showSeconds,
      Consumer<Figures> show,
      Consumer<String> say,
      BooleanSupplier stop) {
    this.recording = recording;
    this.intervalSeconds = intervalSeconds;
    this.showSeconds = showSeconds;
    this.show = show;
    this.say = say;
    this.stop = stop;
  }

  /** Returns once it is stopped, after the figures were shown once more. */
  public void run() throws IOException, InterruptedException {
    double shown = Double.NEGATIVE_INFINITY;
    while (!stop.getAsBoolean()) {
      double start = System.nanoTime() / NANOS;
      try {
        recording.read().forEach(say);
        if (!trouble.isEmpty()) {
          say.accept("Recording again.");
          trouble = "";
        }
        if (start - shown >= showSeconds) {
          show.accept(recording.figures(say));
          shown = start;
        }
        pauseUntil(start + intervalSeconds);
      } catch (IOException e) {
        if (!trouble.equals(e.getMessage())) {
          trouble = String.valueOf(e.getMessage());
          say.accept(trouble + ". What was read is kept; trying again.");
        }
        pauseUntil(start + Math.max(LEAST_PATIENCE_S, intervalSeconds));
      }
    }
    show.accept(recording.figures(say));
  }

  private void pauseUntil(double due) throws InterruptedException {
    double left = due - System.nanoTime() / NANOS;
    while (left > 0 && !stop.getAsBoolean()) {
      TimeUnit.NANOSECONDS.sleep((long) (NANOS * Math.min(left, LONGEST_NAP_S)));
      left = due - System.nanoTime() / NANOS;
    }
  }
}
