package org.fieldwright.app.notebook;

import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.Closeable;
import java.io.IOException;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.time.Clock;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.fieldwright.adapters.files.FileKind;
import org.fieldwright.app.TemporaryFolder;
import org.fieldwright.app.capture.CapturePlan;
import org.fieldwright.app.capture.CaptureRequest;
import org.fieldwright.app.capture.LiveCapture;
import org.fieldwright.app.simulate.ReaderService;
import org.fieldwright.core.BadInput;

/**
 * The surveys that are being taken, one per magnet. The readings lie in the magnet's folder from
 * the first one on, so that a survey that was left, for whatever reason, can be gone on with.
 */
public final class CaptureDesk implements AutoCloseable {
  private final NotebookService notebook;
  private final Clock clock;
  private final Map<String, LiveCapture> captures = new HashMap<>();

  public CaptureDesk(NotebookService notebook, Clock clock) {
    this.notebook = notebook;
    this.clock = clock;
  }

  /** A reader's profile, and what must be closed when it is no longer spoken to. */
  private record Instrument(Path profile, Closeable atEnd) {}

  /**
   * Begins a survey.
   *
   * @param client who drives
   * @param reader file of the profile in the magnet's folder; {@link ReaderService#PROFILE} = a
   *     simulated one, where the folder holds a scenario
   */
  public synchronized LiveCapture start(
      String magnet,
      String client,
      String reader,
      List<Double> anglesDeg,
      CapturePlan.Order order,
      double expectedPpm)
      throws IOException {
    requireFree(magnet);
    Path magnetFile = notebook.magnetFile(magnet);
    Path survey = notebook.folder(magnet).resolve(newName(magnet));
    return run(
        magnet,
        client,
        new CaptureRequest(magnetFile, Path.of(""), survey, anglesDeg, order, expectedPpm),
        reader);
  }

  /** Goes on with a survey that was left. */
  public synchronized LiveCapture resume(String magnet, String client, String survey)
      throws IOException {
    requireFree(magnet);
    notebook.existing(magnet, survey + CaptureRequest.UNFINISHED);
    CaptureRequest left =
        CaptureRequest.unfinished(
            notebook.magnetFile(magnet), notebook.folder(magnet).resolve(survey));
    return run(magnet, client, left, left.instrumentFile().toString());
  }

  /** Comes last, as nobody would close a simulated reader if the request were refused. */
  private LiveCapture run(String magnet, String client, CaptureRequest request, String reader)
      throws IOException {
    Instrument instrument = instrument(magnet, reader);
    LiveCapture capture =
        new LiveCapture(request.readBy(instrument.profile()), clock, client, instrument.atEnd());
    captures.put(magnet, capture);
    return capture;
  }

  private void requireFree(String magnet) {
    LiveCapture there = captures.get(magnet);
    if (there == null) {
      return;
    }
    if (!there.hasEnded()) {
      throw new BadInput("a survey of this magnet is being taken: watch it, or take it over");
    }
    there.awaitEnd();
  }

  private String newName(String magnet) throws IOException {
    List<String> there = notebook.files(magnet);
    int number = 1;
    while (there.contains("survey-" + number + ".csv")
        || there.contains("survey-" + number + ".csv" + CaptureRequest.UNFINISHED)) {
      number++;
    }
    return "survey-" + number + ".csv";
  }

  private Instrument instrument(String magnet, String reader) throws IOException {
    if (!reader.equals(ReaderService.PROFILE)) {
      return new Instrument(notebook.existing(magnet, reader), () -> {});
    }
    ReaderService simulated =
        new ReaderService(notebook.existing(magnet, SampleMagnet.SCENARIO), 0, null);
    TemporaryFolder folder = TemporaryFolder.make();
    return new Instrument(
        simulated.writeProfile(folder.path()),
        () -> {
          simulated.close();
          folder.close();
        });
  }

  /** The survey of a magnet that is being taken, or ended last. */
  public synchronized LiveCapture of(String magnet) throws NoSuchFileException {
    LiveCapture capture = captures.get(magnet);
    if (capture == null) {
      throw new NoSuchFileException("survey of " + magnet + " that is being taken");
    }
    return capture;
  }

  /** How that survey stands, with the readers there are and the surveys that were left. */
  public synchronized ObjectNode json(String magnet) throws IOException {
    LiveCapture capture = captures.get(magnet);
    ObjectNode node =
        capture == null
            ? JsonNodeFactory.instance.objectNode().put("phase", "none")
            : capture.json();
    var readers = node.putArray("readers");
    var unfinished = node.putArray("unfinished");
    for (String file : notebook.files(magnet)) {
      if (file.endsWith(CaptureRequest.UNFINISHED)) {
        unfinished.add(file.substring(0, file.length() - CaptureRequest.UNFINISHED.length()));
      } else if (FileKind.isReader(notebook.existing(magnet, file))) {
        readers.add(file);
      } else if (file.equals(SampleMagnet.SCENARIO)) {
        readers.add(ReaderService.PROFILE);
      }
    }
    return node;
  }

  /** Ends them as they stand; what was read is kept. */
  @Override
  public synchronized void close() {
    captures.values().forEach(LiveCapture::close);
  }
}
