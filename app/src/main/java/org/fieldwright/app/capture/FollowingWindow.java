package org.fieldwright.app.capture;

import java.io.IOException;
import java.util.ArrayList;
import java.util.DoubleSummaryStatistics;
import java.util.HashSet;
import java.util.List;
import java.util.Objects;
import java.util.Set;
import java.util.function.Consumer;
import org.fieldwright.adapters.instrument.ProbeReader;
import org.fieldwright.core.reading.ProbeArray;
import org.fieldwright.core.reading.ProbeArray.Range;
import org.jspecify.annotations.Nullable;

/**
 * The range that a reader searches while the field may move: it goes with the field, widens where
 * probes are lost at its edge, and narrows again when they are found.
 */
final class FollowingWindow {
  /** The field may leave the middle by this part of the window before the window follows. */
  private static final double SLACK = 0.125;

  private final ProbeReader reader;
  private final ProbeArray array;
  private final List<Integer> probes;
  private final double expectedPpm;
  private final Consumer<String> notes;
  private final Set<Integer> hopeless = new HashSet<>();
  private @Nullable Range window;

  FollowingWindow(
      ProbeReader reader,
      ProbeArray array,
      List<Integer> probes,
      double expectedPpm,
      Consumer<String> notes) {
    this.reader = reader;
    this.array = array;
    this.probes = probes;
    this.expectedPpm = expectedPpm;
    this.notes = notes;
  }

  /** Before the first reading: the field is looked for over the reader's whole range. */
  void find() throws IOException {
    window = FirstField.window(reader, array, probes, expectedPpm, notes);
  }

  /**
   * After a round.
   *
   * @param fields what each probe shows, T, in the order of the array; null without a lock
   */
  void after(List<@Nullable Double> fields) throws IOException {
    List<@Nullable Double> shownMHz = SearchWindow.shownMHz(fields, array);
    Range whole = array.rangeMHz();
    Range now = window;
    if (whole == null || now == null) {
      return;
    }
    List<Integer> lost = new ArrayList<>(SearchWindow.atTheEdge(shownMHz, now));
    lost.removeIf(i -> hopeless.contains(probes.get(i)));
    DoubleSummaryStatistics shown =
        shownMHz.stream()
            .filter(Objects::nonNull)
            .mapToDouble(Double::doubleValue)
            .summaryStatistics();
    for (int i = 0; i < probes.size(); i++) {
      if (shownMHz.get(i) != null) {
        hopeless.remove(probes.get(i));
      }
    }
    if (!lost.isEmpty() && now.equals(whole)) {
      lost.forEach(i -> hopeless.add(probes.get(i)));
    } else if (!lost.isEmpty()) {
      Range wider = SearchWindow.wider(now, whole);
      set(wider);
      notes.accept(SearchWindow.widened(wider));
    } else if (shown.getCount() > 0) {
      follow(now, shown, whole);
    }
  }

  private void follow(Range now, DoubleSummaryStatistics shown, Range whole) throws IOException {
    double middle = (shown.getMin() + shown.getMax()) / 2;
    Range tight = SearchWindow.about(middle, expectedPpm, whole);
    double width = tight.high() - tight.low();
    boolean holds =
        tight.low() + SLACK * width < shown.getMin()
            && shown.getMax() < tight.high() - SLACK * width;
    boolean wide = now.high() - now.low() > 1.01 * width;
    boolean off = Math.abs(middle - (now.low() + now.high()) / 2) > SLACK * width;
    if (holds && (wide || off)) {
      set(tight);
    }
  }

  private void set(Range to) throws IOException {
    reader.window(to.low(), to.high());
    window = to;
  }
}
