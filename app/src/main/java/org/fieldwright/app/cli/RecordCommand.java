package org.fieldwright.app.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Clock;
import java.util.concurrent.Callable;
import org.fieldwright.app.capture.CaptureRequest;
import org.fieldwright.app.capture.Cautions;
import org.fieldwright.app.capture.Figures;
import org.fieldwright.app.capture.FiguresJson;
import org.fieldwright.app.capture.RecordRequest;
import org.fieldwright.app.capture.Recording;
import org.fieldwright.app.capture.RecordingLoop;
import org.fieldwright.core.BadInput;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Option;

/** {@code record --magnet M.yaml --instrument I.yaml --out LOG}. */
@picocli.CommandLine.Command
final class RecordCommand implements Callable<Integer> {
  private static final double SECONDS_PER_HOUR = 3600;

  private final Output output;

  @Option(
      names = "--magnet",
      required = true,
      paramLabel = "M.yaml",
      description = "Magnet file: the array, limits on drift.")
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
      paramLabel = "LOG",
      description = "Field log to write; one begun under this name goes on.")
  private Path out = Path.of("");

  @Option(names = "--probe", paramLabel = "N", description = "Read this one; default all.")
  private @Nullable Integer probe;

  @Option(
      names = "--current",
      paramLabel = "C.yaml",
      description = "Profile of what reads the magnet's current: says field per ampere.")
  private @Nullable Path current;

  @Option(
      names = "--interval-s",
      paramLabel = "S",
      description = "From one round of readings to the next; default 1, 0 = at once.")
  private double intervalSeconds = 1;

  @Option(names = "--hours", paramLabel = "H", description = "Default until Ctrl-C.")
  private double hours = Double.POSITIVE_INFINITY;

  @Option(
      names = "--alarm-ppm",
      paramLabel = "P",
      description = "Say when the field is this far from its first reading, and when it is back.")
  private @Nullable Double alarmPpm;

  @Option(
      names = "--target-MHz",
      paramLabel = "F",
      description = "Where a ramp leads: says how long it still takes.")
  private @Nullable Double targetMHz;

  @Option(
      names = "--over-min",
      paramLabel = "M",
      description =
          "How far back drift and rates look; default 60, with --current or --target-MHz 5.")
  private @Nullable Double overMinutes;

  @Option(
      names = "--show-s",
      paramLabel = "S",
      description = "How often the figures are shown; default 10.")
  private double showSeconds = 10;

  @Option(
      names = "--expected-ppm",
      paramLabel = "P",
      description = "Inhomogeneity, peak to peak, that the search window must hold; default 300.")
  private double expectedPpm = CaptureRequest.USUAL_PPM;

  @Option(names = "--json", description = "Answer with the last figures as one JSON document.")
  private boolean json;

  RecordCommand(Output output) {
    this.output = output;
  }

  @Override
  public Integer call() throws IOException, InterruptedException {
    RecordRequest request = request();
    output.note(Cautions.WATCHING);
    Figures[] last = new Figures[1];
    try (TerminalProgress time = new TerminalProgress(output, hours * SECONDS_PER_HOUR);
        Recording recording = Recording.open(request, Clock.systemUTC(), output::note)) {
      new RecordingLoop(
              recording,
              intervalSeconds,
              showSeconds,
              new RecordingLoop.Listener() {
                @Override
                public void show(Figures figures) {
                  last[0] = figures;
                  output.note(figures.line());
                }

                @Override
                public void say(String text) {
                  output.note(text);
                }

                @Override
                public void trouble(@Nullable String why) {
                  output.note(why == null ? "Recording again." : why);
                }
              },
              time::shouldStop)
          .run();
      output.note(
          "%d readings are in %s%s."
              .formatted(last[0].readings(), out, current == null ? "" : ", with the current"));
      if (json) {
        output.answer(FiguresJson.of(last[0]));
      } else {
        output.answer(last[0].line());
      }
    }
    return ExitStatus.DONE;
  }

  private RecordRequest request() {
    positive("--hours", hours);
    positive("--show-s", showSeconds);
    boolean ramp = current != null || targetMHz != null;
    return new RecordRequest(
        magnet,
        instrument,
        out,
        probe,
        current,
        intervalSeconds,
        expectedPpm,
        alarmPpm,
        targetMHz,
        overMinutes == null ? RecordRequest.usualOverSeconds(ramp) : 60 * overMinutes);
  }

  private static void positive(String option, double value) {
    if (!(value > 0)) {
      throw new BadInput(option + ": found " + value + ", expected a number above 0");
    }
  }
}
