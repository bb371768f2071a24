package org.fieldwright.app.capture;

import java.io.IOException;
import java.util.Locale;
import java.util.function.BooleanSupplier;
import org.jspecify.annotations.Nullable;

/**
 * Reads the array over and over while it is being moved. A line with an angle says that it was
 * turned there without being moved: then what was read before it was turned counts too.
 */
public final class SeatConversation {
  private static final String HELP =
      "Move the array as it says; it is read over and over. 90: it was turned to 90° and not moved."
          + " stop: enough.";

  private static final int STEADY = 2;

  private final Seat seat;
  private final Lines lines;
  private final Listener listener;
  private final BooleanSupplier stop;
  private @Nullable SeatAdvice last;

  /** What the person types. */
  public interface Lines {
    /** The next line if there is one already; null otherwise. */
    @Nullable String poll();

    /** The next line; null at the end. */
    @Nullable String take() throws InterruptedException;
  }

  /** Who is told. */
  public interface Listener {
    /** In words. */
    void say(String words);

    /**
     * That a probe was read.
     *
     * @param probes how many of the array at this angle so far
     */
    default void reading(double angleDeg, int probes) {}

    /** What the array read whole says; null if too few probes lock. */
    default void found(@Nullable SeatAdvice advice) {}
  }

  /**
   * @param stop asked before each reading of the array
   */
  public SeatConversation(Seat seat, Lines lines, Listener listener, BooleanSupplier stop) {
    this.seat = seat;
    this.lines = lines;
    this.listener = listener;
    this.stop = stop;
  }

  /**
   * Holds it until the array is seated, twice in a row, or the person stops.
   *
   * @param startDeg where the array stands at first
   * @return the last advice; null if there was none
   */
  public @Nullable SeatAdvice run(double startDeg) throws IOException, InterruptedException {
    listener.say(HELP);
    double angle = startDeg;
    int steady = 0;
    String before = "";
    while (steady < STEADY && !stop.getAsBoolean()) {
      String line = lines.poll();
      boolean turned = false;
      if (line != null && !line.isBlank()) {
        Double to = angle(line);
        if (to == null) {
          return last;
        }
        turned = !to.isNaN();
        angle = turned ? to : angle;
      }
      if (!turned && steady == 0) {
        seat.moved();
      }
      double at = angle;
      SeatAdvice advice = seat.read(at, probes -> listener.reading(at, probes));
      listener.found(advice);
      String words = advice == null ? "Too few probes lock." : String.join("\n", advice.lines());
      if (!words.equals(before)) {
        listener.say(words);
        before = words;
      }
      last = advice == null ? last : advice;
      steady = advice != null && advice.seated() ? steady + 1 : 0;
      if (turned && steady == 0) {
        listener.say("Move it now; Enter goes on from %s.".formatted(Announcer.degrees(angle)));
        String go = lines.take();
        if (go == null || go.strip().toLowerCase(Locale.ROOT).equals("stop")) {
          return last;
        }
      }
    }
    return last;
  }

  /** The angle of a line; null to stop, NaN if it is none. */
  private @Nullable Double angle(String line) {
    String words = line.strip().toLowerCase(Locale.ROOT);
    if (words.equals("stop")) {
      return null;
    }
    try {
      double deg = Double.parseDouble(words.replace("°", ""));
      if (Double.isFinite(deg)) {
        return deg;
      }
    } catch (NumberFormatException e) {
      // said below
    }
    listener.say("Found '" + line.strip() + "', expected an angle such as 90, or stop.");
    return Double.NaN;
  }
}
