package org.fieldwright.app.cli;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Clock;
import java.util.Optional;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.Callable;
import java.util.concurrent.LinkedBlockingQueue;
import org.fieldwright.app.capture.CaptureRequest;
import org.fieldwright.app.capture.Cautions;
import org.fieldwright.app.capture.Seat;
import org.fieldwright.app.capture.SeatAdvice;
import org.fieldwright.app.capture.SeatConversation;
import org.fieldwright.app.capture.SeatRequest;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Option;

/** {@code seat --magnet M.yaml --instrument I.yaml --earlier SURVEY}. */
@picocli.CommandLine.Command
final class SeatCommand implements Callable<Integer> {
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
      names = "--earlier",
      required = true,
      paramLabel = "SURVEY",
      description = "A survey of the same magnet in the same state.")
  private Path earlier = Path.of("");

  @Option(
      names = "--angle",
      paramLabel = "A",
      description = "Where the array stands, degrees; default 0.")
  private double angle;

  @Option(
      names = "--to",
      paramLabel = "WHERE",
      description = "magnetic-centre (default), or as-before: where its centre was in that survey.")
  private String to = SeatRequest.CENTRE;

  @Option(
      names = "--tolerance-mm",
      paramLabel = "T",
      description = "In each direction; default 0.5.")
  private double toleranceMm = SeatRequest.USUAL_MM;

  @Option(
      names = "--expected-ppm",
      paramLabel = "P",
      description = "Inhomogeneity, peak to peak, that the search window must hold; default 300.")
  private double expectedPpm = CaptureRequest.USUAL_PPM;

  @Option(names = "--json", description = "Answer with the last advice as one JSON document.")
  private boolean json;

  SeatCommand(Output output) {
    this.output = output;
  }

  @Override
  public Integer call() throws IOException, InterruptedException {
    SeatRequest request =
        new SeatRequest(
            magnet,
            instrument,
            earlier,
            SeatRequest.asBefore("--to", to),
            1e-3 * toleranceMm,
            expectedPpm);
    output.note(Cautions.AT_THE_BORE);
    try (TerminalProgress time = new TerminalProgress(output, Double.POSITIVE_INFINITY);
        Seat seat = Seat.open(request, Clock.systemUTC(), output::note)) {
      SeatAdvice last =
          new SeatConversation(seat, new TypedLines(), output::note, time::shouldStop).run(angle);
      if (last == null) {
        throw new IOException("the array was not read");
      }
      if (json) {
        output.answer(last.json());
      } else {
        output.answer(String.join("\n", last.lines()));
      }
    }
    return ExitStatus.DONE;
  }

  /** Lines of standard input, read beside everything else. */
  private static final class TypedLines implements SeatConversation.Lines {
    private final BlockingQueue<Optional<String>> queue = new LinkedBlockingQueue<>();

    TypedLines() {
      Thread thread = new Thread(this::read, "typed lines");
      thread.setDaemon(true);
      thread.start();
    }

    private void read() {
      BufferedReader lines =
          new BufferedReader(new InputStreamReader(System.in, StandardCharsets.UTF_8));
      try {
        for (String line = lines.readLine(); line != null; line = lines.readLine()) {
          queue.add(Optional.of(line));
        }
      } catch (IOException e) {
        // as good as the end
      }
      queue.add(Optional.empty());
    }

    @Override
    public @Nullable String poll() {
      Optional<String> line = queue.peek();
      return line == null || line.isEmpty() ? null : queue.remove().orElse(null);
    }

    @Override
    public @Nullable String take() throws InterruptedException {
      return queue.take().orElse(null);
    }
  }
}
