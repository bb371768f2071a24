package org.fieldwright.app.notebook;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.time.Clock;
import java.util.List;
import org.fieldwright.app.capture.CapturePlan;
import org.fieldwright.app.capture.CaptureRequest;
import org.fieldwright.app.capture.LiveCapture;

/**
 * The surveys that are being taken, one per magnet. The readings lie in the magnet's folder from
 * the first one on, so that a survey that was left, for whatever reason, can be gone on with.
 */
public final class CaptureDesk {
  private final NotebookService notebook;
  private final ReaderDesk readers;
  private final Clock clock;

  public CaptureDesk(NotebookService notebook, ReaderDesk readers, Clock clock) {
    this.notebook = notebook;
    this.readers = readers;
    this.clock = clock;
  }

  /**
   * Begins a survey.
   *
   * @param client who drives
   * @param reader as {@link ReaderDesk} names it
   */
  public LiveCapture start(
      String magnet,
      String client,
      String reader,
      List<Double> anglesDeg,
      CapturePlan.Order order,
      double expectedPpm)
      throws IOException {
    return readers.begin(
        magnet,
        reader,
        instrument ->
            new LiveCapture(
                new CaptureRequest(
                    notebook.magnetFile(magnet),
                    instrument.profile(),
                    notebook
                        .folder(magnet)
                        .resolve(readers.newName(magnet, "survey", CaptureRequest.UNFINISHED)),
                    anglesDeg,
                    order,
                    expectedPpm),
                clock,
                client,
                instrument.atEnd()));
  }

  /** Goes on with a survey that was left. */
  public LiveCapture resume(String magnet, String client, String survey) throws IOException {
    readers.requireFree(magnet);
    notebook.existing(magnet, survey + CaptureRequest.UNFINISHED);
    Path file = notebook.folder(magnet).resolve(survey);
    CaptureRequest left = CaptureRequest.unfinished(notebook.magnetFile(magnet), file);
    return readers.begin(
        magnet,
        left.instrumentFile().toString(),
        instrument ->
            new LiveCapture(left.readBy(instrument.profile()), clock, client, instrument.atEnd()));
  }

  /** The survey of a magnet that is being taken, or ended last. */
  public LiveCapture of(String magnet) throws NoSuchFileException {
    return readers.of(magnet, LiveCapture.class, "survey");
  }

  /** How that survey stands, with the readers there are and the surveys that were left. */
  public ObjectNode json(String magnet) throws IOException {
    LiveCapture capture = readers.find(magnet, LiveCapture.class);
    ObjectNode node = readers.json(magnet, capture == null ? null : capture.json());
    readers.putUnfinished(node, magnet, CaptureRequest.UNFINISHED);
    return node;
  }
}
