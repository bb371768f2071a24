package org.fieldwright.app.capture;

import java.io.IOException;
import java.util.Locale;
import java.util.function.BooleanSupplier;
import java.util.function.Consumer;
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
  private final Consumer<String> say;
  private final BooleanSupplier stop;
  private @Nullable SeatAdvice last;

  /** What the person types. */
  public interface Lines {
    /** The next line if there is one already; null otherwise. */
    @Nullable String poll();

    /** The next line; null at the end. */
    @Nullable String take() throws InterruptedException;
  }

  public SeatConversation(Seat seat, Lines lines, Consumer<String> say, BooleanSupplier stop) {
    this.seat = seat;
    this.lines = lines;
    this.say = say;
    this.stop = stop;
  }

  /**
   * Holds it until the array is seated, twice in a row, or the person stops.
   *
   * @param startDeg where the array stands at first
   * @return the last advice; null if there was none
   */
  public @Nullable SeatAdvice run(double startDeg) throws IOException, InterruptedException {
    say.accept(HELP);
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
      SeatAdvice advice = seat.read(angle);
      String words = advice == null ? "Too few probes lock." : String.join("\n", advice.lines());
      if (!words.equals(before)) {
        say.accept(words);
        before = words;
      }
      last = advice == null ? last : advice;
      steady = advice != null && advice.seated() ? steady + 1 : 0;
      if (turned && steady == 0) {
        say.accept("Move it now; Enter goes on from %s.".formatted(Announcer.degrees(angle)));
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
    say.accept("Found '" + line.strip() + "', expected an angle such as 90, or stop.");
    return Double.NaN;
  }
}
