package org.fieldwright.app.capture;

import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.Closeable;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Instant;
import java.util.ArrayDeque;
import java.util.Deque;
import org.fieldwright.adapters.journal.LineFile;
import org.fieldwright.core.BadInput;
import org.jspecify.annotations.Nullable;

/** A recording that goes on by itself until somebody ends it; the log has its name only then. */
public final class LiveRecording extends LiveWork {
  private static final double SHOW_S = 1;
  private static final int SAID = 40;

  /** Of the trace; a follower who missed more asks for the whole. */
  private static final int LATEST = 20;

  private final RecordRequest request;
  private final Clock clock;
  private final Deque<Said> said = new ArrayDeque<>();
  private FieldTrace trace = new FieldTrace();
  private @Nullable Figures figures;
  private boolean finishing;

  /** An alarm, or that one is over. */
  private record Said(Instant at, String text) {}

  /**
   * Begins, or goes on with a log.
   *
   * @param request whose log is named {@link RecordRequest#UNFINISHED}
   * @param client who drives
   * @param atEnd closed with the recording, once the log has its name
   */
  public LiveRecording(RecordRequest request, Clock clock, String client, Closeable atEnd) {
    super("recording " + request.log().getFileName(), client, atEnd);
    this.request = request;
    this.clock = clock;
    begin();
  }

  @Override
  public String what() {
    return "the field of this magnet is being recorded";
  }

  /** Ends the recording; the log is a log of the magnet from then on. */
  @Override
  public synchronized void stop(String client) {
    requireDriver(client);
    if (hasEnded()) {
      throw new BadInput("this recording has ended");
    }
    finishing = true;
    changed();
    interrupt();
  }

  private synchronized boolean isFinishing() {
    return finishing;
  }

  @Override
  void work() throws IOException, InterruptedException {
    try (Recording recording = Recording.open(request, clock, this::note)) {
      phase(Phase.READING);
      new RecordingLoop(
              recording,
              request.intervalSeconds(),
              SHOW_S,
              new Onlookers(recording),
              () -> isFinishing() || hasEnded())
          .run();
    } catch (IOException | InterruptedException e) {
      if (!isFinishing()) {
        throw e;
      }
    }
    if (isFinishing()) {
      Thread.interrupted(); // it has done its work, and would break what is written now
      boolean kept = finish(request.log());
      end(Phase.SAVED, kept ? null : "Nothing was read, so nothing is kept.");
    }
  }

  /**
   * Gives a log that was left, for whatever reason, its own name.
   *
   * @return false if it held no reading and is gone
   */
  public static boolean finish(Path unfinished) throws IOException {
    LineFile.open(unfinished).close(); // part of a line is cut off
    boolean empty;
    try (var lines = Files.lines(unfinished)) {
      empty = lines.filter(line -> !line.startsWith("#")).skip(1).findAny().isEmpty();
    }
    if (empty) {
      Files.delete(unfinished);
    } else {
      Files.move(unfinished, unfinished.resolveSibling(RecordRequest.nameOf(unfinished)));
    }
    return !empty;
  }

  /** What the loop tells, for followers. */
  private final class Onlookers implements RecordingLoop.Listener {
    private final Recording recording;

    Onlookers(Recording recording) {
      this.recording = recording;
    }

    @Override
    public void show(Figures now) {
      synchronized (LiveRecording.this) {
        figures = now;
        trace = recording.trace().copy();
        changed();
      }
    }

    @Override
    public void say(String text) {
      synchronized (LiveRecording.this) {
        said.addLast(new Said(clock.instant(), text));
        if (said.size() > SAID) {
          said.removeFirst();
        }
        changed();
      }
    }

    @Override
    public void trouble(@Nullable String why) {
      if (!isFinishing()) {
        tell(why);
        phase(why == null ? Phase.READING : Phase.LOST);
      }
    }
  }

  @Override
  public ObjectNode json() {
    return json(LATEST);
  }

  /** The same with the whole trace. */
  public ObjectNode whole() {
    return json(Integer.MAX_VALUE);
  }

  private synchronized ObjectNode json(int most) {
    Figures now = figures;
    ObjectNode node = JsonNodeFactory.instance.objectNode();
    put(node);
    node.put("log", RecordRequest.nameOf(request.log())).put("finishing", finishing);
    node.put("reader", String.valueOf(request.instrumentFile().getFileName()));
    node.put("probe", request.probe()).put("interval_s", request.intervalSeconds());
    node.put("alarm_ppm", request.alarmPpm()).put("target_MHz", request.targetMHz());
    node.put("over_s", request.overSeconds()).put("with_current", request.currentFile() != null);
    node.set("figures", now == null ? null : FiguresJson.of(now));
    var list = node.putArray("said");
    for (Said each : said) {
      list.addObject()
          .put("time", each.at().toString())
          .put("alarm", each.text().startsWith(Alarms.ALARM))
          .put("text", each.text());
    }
    trace.put(node.putObject("trace"), most);
    return node;
  }
}
