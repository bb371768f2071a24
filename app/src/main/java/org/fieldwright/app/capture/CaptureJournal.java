package org.fieldwright.app.capture;

import java.io.Closeable;
import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import org.fieldwright.adapters.journal.Journal;

/** The events of a capture on the disk, and where it stands by them. */
final class CaptureJournal implements Closeable {
  private final Journal journal;
  private final CaptureState state = new CaptureState();

  private CaptureJournal(Journal journal) {
    this.journal = journal;
  }

  /** Opens a journal, or starts one. */
  static CaptureJournal open(Path path) throws IOException {
    CaptureJournal opened = new CaptureJournal(Journal.open(path));
    try {
      for (byte[] record : opened.journal.found()) {
        EventCodec.decode(record).forEach(opened.state::apply);
      }
      return opened;
    } catch (IOException | RuntimeException e) {
      opened.close();
      throw e;
    }
  }

  /** Goes with the events. */
  CaptureState state() {
    return state;
  }

  void keep(CaptureEvent event) throws IOException {
    keep(List.of(event));
  }

  /** All of them, or none: forced to the disk once. */
  void keep(List<? extends CaptureEvent> events) throws IOException {
    journal.append(EventCodec.encode(events));
    events.forEach(state::apply);
  }

  @Override
  public void close() throws IOException {
    journal.close();
  }
}
