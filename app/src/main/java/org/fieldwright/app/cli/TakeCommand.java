package org.fieldwright.app.cli;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Clock;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.Callable;
import org.fieldwright.app.capture.Capture;
import org.fieldwright.app.capture.CapturePlan;
import org.fieldwright.app.capture.CaptureRequest;
import org.fieldwright.app.capture.Conversation;
import picocli.CommandLine.Option;

/** {@code take --magnet M.yaml --instrument I.yaml --out SURVEY}. */
@picocli.CommandLine.Command
final class TakeCommand implements Callable<Integer> {
  private final Output output;

  @Option(
      names = "--magnet",
      required = true,
      paramLabel = "M.yaml",
      description = "Magnet file: the array.")
  private Path magnet = Path.of("");

  @Option(
      names = "--instrument",
      required = true,
      paramLabel = "I.yaml",
      description = "Profile of the reader.")
  private Path instrument = Path.of("");

  @Option(
      names = "--out",
      required = true,
      paramLabel = "SURVEY",
      description = "File to write; a capture begun under this name goes on.")
  private Path out = Path.of("");

  @Option(
      names = "--angles",
      split = ",",
      paramLabel = "N",
      description = "How many equal angles from 0°, or the angles themselves; default 24.")
  private List<Double> angles = new ArrayList<>();

  @Option(
      names = "--order",
      paramLabel = "O",
      description = "natural, there-and-back or least-twist; default natural.")
  private String order = CapturePlan.Order.NATURAL.word();

  @Option(
      names = "--expected-ppm",
      paramLabel = "P",
      description = "Inhomogeneity, peak to peak, that the search window must hold; default 300.")
  private double expectedPpm = CaptureRequest.USUAL_PPM;

  TakeCommand(Output output) {
    this.output = output;
  }

  @Override
  public Integer call() throws IOException {
    CaptureRequest request =
        new CaptureRequest(
            magnet, instrument, out, anglesDeg(), CapturePlan.Order.named(order), expectedPpm);
    BufferedReader lines =
        new BufferedReader(new InputStreamReader(System.in, StandardCharsets.UTF_8));
    try (Capture capture = Capture.open(request, Clock.systemUTC(), output::note)) {
      if (new Conversation(capture, lines, output::note).run()) {
        output.answer("Written: " + capture.finish());
      } else {
        output.note("Stopped. The same command goes on from here.");
      }
    }
    return ExitStatus.DONE;
  }

  private List<Double> anglesDeg() {
    if (angles.size() > 1) {
      CapturePlan.requireDistinct(angles);
      return angles;
    }
    return CapturePlan.equalAngles(angles.isEmpty() ? CapturePlan.USUAL_ANGLES : angles.get(0));
  }
}
