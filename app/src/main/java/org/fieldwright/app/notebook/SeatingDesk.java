package org.fieldwright.app.notebook;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.time.Clock;
import org.fieldwright.app.capture.Cautions;
import org.fieldwright.app.capture.LiveSeat;
import org.fieldwright.app.capture.SeatRequest;

/** The arrays that are being seated, one per magnet. */
public final class SeatingDesk {
  private final NotebookService notebook;
  private final ReaderDesk readers;
  private final Clock clock;

  public SeatingDesk(NotebookService notebook, ReaderDesk readers, Clock clock) {
    this.notebook = notebook;
    this.readers = readers;
    this.clock = clock;
  }

  /** What is asked for; as {@link SeatRequest}, with files of the magnet's folder by name. */
  public record Asked(
      String reader,
      String earlier,
      String to,
      double angleDeg,
      double toleranceMm,
      double expectedPpm) {}

  /**
   * Begins.
   *
   * @param client who drives
   */
  public LiveSeat start(String magnet, String client, Asked asked) throws IOException {
    Path earlier = notebook.existing(magnet, asked.earlier());
    return readers.begin(
        magnet,
        asked.reader(),
        instrument ->
            new LiveSeat(
                new SeatRequest(
                    notebook.magnetFile(magnet),
                    instrument.profile(),
                    earlier,
                    SeatRequest.asBefore("to", asked.to()),
                    1e-3 * asked.toleranceMm(),
                    asked.expectedPpm()),
                asked.angleDeg(),
                clock,
                client,
                instrument.atEnd()));
  }

  /** The seating at a magnet that goes on, or ended last. */
  public LiveSeat of(String magnet) throws NoSuchFileException {
    return readers.of(magnet, LiveSeat.class, "seating");
  }

  /** How it stands, with the readers there are. */
  public ObjectNode json(String magnet) throws IOException {
    LiveSeat seat = readers.find(magnet, LiveSeat.class);
    ObjectNode node = readers.json(magnet, seat == null ? null : seat.json());
    return node.put("caution", Cautions.AT_THE_BORE);
  }
}
