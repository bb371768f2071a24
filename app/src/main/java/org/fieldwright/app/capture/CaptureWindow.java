package org.fieldwright.app.capture;

import java.io.IOException;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.function.Consumer;
import org.fieldwright.adapters.instrument.ProbeReader;
import org.fieldwright.app.capture.CaptureEvent.Taken;
import org.fieldwright.app.capture.CaptureEvent.WindowSet;
import org.fieldwright.app.capture.CaptureState.Visit;
import org.fieldwright.core.reading.Probe;
import org.fieldwright.core.reading.ProbeArray;
import org.fieldwright.core.reading.ProbeArray.Range;
import org.jspecify.annotations.Nullable;

/** The range that the reader searches during a survey, over which the field stands still. */
final class CaptureWindow {
  private final ProbeReader reader;
  private final ProbeArray array;
  private final double expectedPpm;
  private final CaptureJournal journal;
  private final Set<Integer> hopeless = new HashSet<>();

  CaptureWindow(ProbeReader reader, ProbeArray array, double expectedPpm, CaptureJournal journal) {
    this.reader = reader;
    this.array = array;
    this.expectedPpm = expectedPpm;
    this.journal = journal;
  }

  /** Reads probes of a visit once more. */
  interface Again {
    void read(List<Integer> probes) throws IOException;
  }

  /** Sets it as it was. */
  void restore() throws IOException {
    WindowSet window = journal.state().window();
    if (window != null) {
      reader.window(window.lowMHz(), window.highMHz());
    }
  }

  /** Finds the field with one probe over the whole range, and narrows the window about it. */
  void find(Consumer<String> say) throws IOException {
    if (journal.state().window() == null) {
      List<Integer> probes = array.probes().stream().map(Probe::id).toList();
      Range window = FirstField.window(reader, array, probes, expectedPpm, say);
      if (window != null) {
        use(window);
      }
    }
  }

  private void use(Range window) throws IOException {
    reader.window(window.low(), window.high());
    journal.keep(new WindowSet(window.low(), window.high()));
  }

  /**
   * Where probes did not lock at the edge of the window, looks for them further out, and stays
   * there if they are found.
   */
  void widen(Visit visit, Again again, Consumer<String> say) throws IOException {
    WindowSet set = journal.state().window();
    Range whole = array.rangeMHz();
    if (set == null || whole == null) {
      return;
    }
    Range before = new Range(set.lowMHz(), set.highMHz());
    List<Integer> silent = atTheEdge(visit, before);
    Range window = before;
    boolean found = false;
    while (!silent.isEmpty() && !window.equals(whole)) {
      window = SearchWindow.wider(window, whole);
      reader.window(window.low(), window.high());
      again.read(silent);
      List<Integer> still = silent.stream().filter(id -> field(visit, id) == null).toList();
      if (still.size() < silent.size()) {
        found = true;
        use(window);
        say.accept(SearchWindow.widened(window));
      }
      silent = still;
    }
    hopeless.addAll(silent);
    if (!found) {
      reader.window(before.low(), before.high());
    }
  }

  /** Probes without a lock that may lie outside, but for those looked for in vain before. */
  private List<Integer> atTheEdge(Visit visit, Range window) {
    List<@Nullable Double> fields = new ArrayList<>();
    for (Probe probe : array.probes()) {
      fields.add(field(visit, probe.id()));
    }
    List<@Nullable Double> shown = SearchWindow.shownMHz(fields, array);
    return SearchWindow.atTheEdge(shown, window).stream()
        .map(i -> array.probes().get(i).id())
        .filter(id -> !hopeless.contains(id))
        .toList();
  }

  private static @Nullable Double field(Visit visit, int probe) {
    Taken taken = visit.taken().get(probe);
    return taken == null ? null : taken.field();
  }
}
