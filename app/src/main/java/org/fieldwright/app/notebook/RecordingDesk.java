package org.fieldwright.app.notebook;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.time.Clock;
import org.fieldwright.app.capture.Cautions;
import org.fieldwright.app.capture.LiveRecording;
import org.fieldwright.app.capture.RecordRequest;
import org.jspecify.annotations.Nullable;

/**
 * The field logs that are being recorded, one per magnet. Every reading lies in the magnet's folder
 * at once; the log gets its name, and a place in the notebook, when the recording is ended.
 */
public final class RecordingDesk {
  private final NotebookService notebook;
  private final ReaderDesk readers;
  private final Clock clock;

  public RecordingDesk(NotebookService notebook, ReaderDesk readers, Clock clock) {
    this.notebook = notebook;
    this.readers = readers;
    this.clock = clock;
  }

  /** What is asked for; as {@link RecordRequest}, with files of the magnet's folder by name. */
  public record Asked(
      String reader,
      @Nullable Integer probe,
      @Nullable String current,
      double intervalSeconds,
      double expectedPpm,
      @Nullable Double alarmPpm,
      @Nullable Double targetMHz,
      @Nullable Double overSeconds) {}

  /**
   * Begins a recording.
   *
   * @param client who drives
   */
  public LiveRecording start(String magnet, String client, Asked asked) throws IOException {
    readers.requireFree(magnet);
    String name = readers.newName(magnet, "log", RecordRequest.UNFINISHED);
    boolean ramp = asked.current() != null || asked.targetMHz() != null;
    return run(
        magnet,
        client,
        new RecordRequest(
            notebook.magnetFile(magnet),
            Path.of(asked.reader()),
            notebook.folder(magnet).resolve(name + RecordRequest.UNFINISHED),
            asked.probe(),
            asked.current() == null ? null : Path.of(asked.current()),
            asked.intervalSeconds(),
            asked.expectedPpm(),
            asked.alarmPpm(),
            asked.targetMHz(),
            asked.overSeconds() == null
                ? RecordRequest.usualOverSeconds(ramp)
                : asked.overSeconds()));
  }

  /** Goes on with a log that was left. */
  public LiveRecording resume(String magnet, String client, String log) throws IOException {
    readers.requireFree(magnet);
    Path unfinished = notebook.existing(magnet, log + RecordRequest.UNFINISHED);
    return run(magnet, client, RecordRequest.unfinished(notebook.magnetFile(magnet), unfinished));
  }

  private LiveRecording run(String magnet, String client, RecordRequest request)
      throws IOException {
    Path current = request.currentFile();
    Path currentFile = current == null ? null : notebook.existing(magnet, current.toString());
    return readers.begin(
        magnet,
        request.instrumentFile().toString(),
        instrument ->
            new LiveRecording(
                request.readBy(instrument.profile(), currentFile),
                clock,
                client,
                () -> {
                  instrument.atEnd().close();
                  notebook.bringInLine(magnet); // the log is kept in the store as well
                }));
  }

  /** Ends a recording that was left, without its reader. */
  public void keep(String magnet, String log) throws IOException {
    readers.requireFree(magnet);
    if (LiveRecording.finish(notebook.existing(magnet, log + RecordRequest.UNFINISHED))) {
      notebook.bringInLine(magnet);
    }
  }

  /** The log of a magnet that is being recorded, or was last. */
  public LiveRecording of(String magnet) throws NoSuchFileException {
    return readers.of(magnet, LiveRecording.class, "recording");
  }

  /** How that recording stands, with the readers there are and the logs that were left. */
  public ObjectNode json(String magnet) throws IOException {
    LiveRecording recording = readers.find(magnet, LiveRecording.class);
    ObjectNode node = readers.json(magnet, recording == null ? null : recording.whole());
    node.put("caution", Cautions.WATCHING);
    readers.putUnfinished(node, magnet, RecordRequest.UNFINISHED);
    return node;
  }
}
