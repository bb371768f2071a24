package org.fieldwright.app.capture;

import java.io.BufferedReader;
import java.io.IOException;
import java.util.Locale;
import java.util.function.Consumer;
import org.fieldwright.app.capture.Capture.Ask;
import org.fieldwright.core.BadInput;

/** A capture by prompts and lines: one line answers one prompt. */
public final class Conversation {
  private static final String HELP =
      "Enter: the array stands there. undo: take the last angle back. retake 90: take 90° again."
          + " stop: go on another time.";

  private final Capture capture;
  private final BufferedReader lines;
  private final Consumer<String> say;

  public Conversation(Capture capture, BufferedReader lines, Consumer<String> say) {
    this.capture = capture;
    this.lines = lines;
    this.say = say;
  }

  /**
   * Holds it until everything is read.
   *
   * @return false if the person stopped before
   * @throws BadInput if the lines end before
   */
  public boolean run() throws IOException {
    capture.view().warnings().forEach(say);
    say.accept(HELP);
    for (Ask ask = capture.next(); ask != null; ask = capture.next()) {
      say.accept(prompt(ask));
      String line = lines.readLine();
      if (line == null) {
        throw new BadInput(
            "standard input: found its end before angle %d of %d, expected a line for each; what was read is kept, and the same command goes on"
                .formatted(ask.number(), ask.of()));
      }
      String words = line.strip().toLowerCase(Locale.ROOT);
      if (words.equals("stop")) {
        return false;
      }
      try {
        answer(words);
      } catch (BadInput e) {
        say.accept(e.getMessage());
      } catch (IOException e) {
        say.accept(e.getMessage() + ". What was read before is kept; Enter tries again.");
      }
    }
    return true;
  }

  private String prompt(Ask ask) {
    String again = ask.revisit() ? ", once more" : "";
    Long seconds = capture.view().secondsLeft();
    String left = "";
    if (seconds != null) {
      left = seconds < 90 ? ", " + seconds + " s left" : ", " + (seconds + 30) / 60 + " min left";
    }
    return "%s%s (%d of %d%s)"
        .formatted(Announcer.degrees(ask.angleDeg()), again, ask.number(), ask.of(), left);
  }

  private void answer(String words) throws IOException {
    if (words.isEmpty()) {
      capture.take().forEach(remark -> say.accept(remark.text()));
    } else if (words.equals("undo")) {
      capture.undo();
    } else if (words.startsWith("retake")) {
      capture.retake(angle(words.substring("retake".length())));
    } else {
      say.accept(HELP);
    }
  }

  private static double angle(String text) {
    try {
      return Double.parseDouble(text.replace("°", "").strip());
    } catch (NumberFormatException e) {
      throw new BadInput(
          "retake: found '%s', expected an angle such as 90".formatted(text.strip()));
    }
  }
}
