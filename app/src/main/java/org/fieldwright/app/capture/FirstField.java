package org.fieldwright.app.capture;

import java.io.IOException;
import java.util.List;
import java.util.function.Consumer;
import org.fieldwright.adapters.instrument.ProbeReader;
import org.fieldwright.core.reading.ProbeArray;
import org.fieldwright.core.reading.ProbeArray.Range;
import org.jspecify.annotations.Nullable;

/** Looks for the field with one probe over everything the reader can search. */
final class FirstField {
  private FirstField() {}

  /**
   * The narrowed window about the field that the first probe to lock finds; the reader's own window
   * is left as wide as it goes.
   *
   * @param probes to look with, one after the other until one locks
   * @param expectedPpm from peak to peak
   * @param say hears what was found
   * @return null if no probe locks, the reader's window cannot be set or its range is unknown
   */
  static @Nullable Range window(
      ProbeReader reader,
      ProbeArray array,
      List<Integer> probes,
      double expectedPpm,
      Consumer<String> say)
      throws IOException {
    Range whole = array.rangeMHz();
    if (whole == null || !reader.hasWindow()) {
      return null;
    }
    reader.window(whole.low(), whole.high());
    for (int probe : probes) {
      Double field = reader.read(probe).field();
      if (field != null) {
        double found = field * array.gammaMHzPerT();
        Range window = SearchWindow.about(found, expectedPpm, whole);
        say.accept(
            "Probe %d found the field at %.5f MHz; searching from %.4f to %.4f MHz from here on."
                .formatted(probe, found, window.low(), window.high()));
        return window;
      }
    }
    say.accept("No probe locks anywhere from %s to %s MHz.".formatted(whole.low(), whole.high()));
    return null;
  }
}
