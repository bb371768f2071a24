package org.fieldwright.app.capture;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.Closeable;
import java.io.IOException;
import java.time.Clock;
import java.util.List;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.reading.TurnWatch;
import org.jspecify.annotations.Nullable;

/** A capture that goes on by itself, so that no two readings are triggered for one turn. */
public final class LiveCapture extends LiveWork {
  private static final long RETRY_MILLIS = 2000;

  /** Something to be done on the capture's own thread. */
  private interface Command {
    void run(Capture capture) throws IOException;
  }

  private final CaptureRequest request;
  private final Clock clock;
  private final LinkedBlockingQueue<Command> commands = new LinkedBlockingQueue<>();
  private @Nullable CaptureView view;
  private List<Remark> said = List.of();
  private final Pace pace = new Pace();

  /**
   * Begins, or goes on where a journal ended.
   *
   * @param client who drives
   * @param atEnd closed with the capture
   */
  public LiveCapture(CaptureRequest request, Clock clock, String client, Closeable atEnd) {
    super("capture " + request.survey().getFileName(), client, atEnd);
    this.request = request;
    this.clock = clock;
    begin();
  }

  @Override
  public String what() {
    return "a survey of this magnet is being taken";
  }

  // What clients ask for ----------------------------------------------------------------------

  /** Sets what makes the next reading begin. */
  public synchronized void advance(String client, Advance by) {
    requireDriver(client);
    pace.by(by);
    commands.add(capture -> {}); // wakes the worker
    changed();
  }

  /**
   * Reads the array.
   *
   * @param number of the reading that is asked for; another one is refused, so that a key pressed
   *     twice does not read the next angle
   */
  public synchronized void read(String client, int number) {
    requireDriver(client);
    requireIdle();
    Capture.Ask next = view == null ? null : view.next();
    if (next == null || next.number() != number) {
      throw new BadInput(
          "read: found %d, expected %s"
              .formatted(number, next == null ? "nothing more" : "" + next.number()));
    }
    beginReading();
  }

  private void beginReading() {
    pace.restart();
    commands.add(this::take);
    phase(Phase.READING);
  }

  /** Takes the last reading of the array back. */
  public void undo(String client) {
    order(client, Capture::undo);
  }

  /** Asks for an angle again. */
  public void retake(String client, double angleDeg) {
    order(client, capture -> capture.retake(angleDeg));
  }

  /** Asks for the probes again that did not lock at an angle. */
  public void repeatFailed(String client, double angleDeg) {
    order(client, capture -> capture.repeatFailed(angleDeg));
  }

  /** Writes the survey, once everything is read. */
  public void save(String client) {
    synchronized (this) {
      requireDriver(client);
      if (phase() != Phase.COMPLETE) {
        throw new BadInput("save: there are angles that were not read yet");
      }
    }
    order(
        client,
        capture -> {
          capture.finish();
          end(Phase.SAVED, null);
        });
  }

  private synchronized void order(String client, Command command) {
    requireDriver(client);
    requireIdle();
    commands.add(
        capture -> {
          try {
            command.run(capture);
            tell(null);
          } catch (BadInput | IOException e) {
            tell(e.getMessage());
          }
          refresh(capture);
        });
  }

  private void requireIdle() {
    if (phase() == Phase.OPENING || phase() == Phase.READING) {
      throw new BadInput("the array is being read: wait until it is done");
    }
    if (hasEnded()) {
      throw new BadInput("this survey has ended");
    }
  }

  // The capture's own thread ------------------------------------------------------------------

  @Override
  void work() throws IOException, InterruptedException {
    try (Capture capture = Capture.open(request, clock, this::note)) {
      refresh(capture);
      while (!hasEnded()) {
        Command command = commands.poll(pause(), TimeUnit.MILLISECONDS);
        if (command != null) {
          command.run(capture);
        } else {
          idle(capture);
        }
      }
    }
  }

  /** How long to wait for the next command. */
  private synchronized long pause() {
    if (phase() == Phase.LOST) {
      return RETRY_MILLIS;
    }
    return phase() == Phase.READY ? pace.millis() : Pace.IDLE_MILLIS;
  }

  private void idle(Capture capture) {
    boolean lost;
    boolean watches;
    synchronized (this) {
      lost = phase() == Phase.LOST;
      watches = watches();
      if (phase() == Phase.READY && pace.isDue()) {
        beginReading();
      }
    }
    if (lost) {
      take(capture);
    } else if (watches) {
      lookForTurn(capture);
    }
  }

  /** The first reading is begun by hand: nothing shows that the array was turned to it. */
  private boolean watches() {
    return phase() == Phase.READY && pace.watches() && view != null && view.done() > 0;
  }

  private void lookForTurn(Capture capture) {
    try {
      TurnWatch.State now = capture.watch();
      synchronized (this) {
        if (!watches()) {
          return;
        }
        if (pace.saw(now) || isTroubled()) {
          tell(null);
        }
        if (now == TurnWatch.State.SETTLED) {
          beginReading();
        }
      }
    } catch (IOException e) {
      tell(e.getMessage() + ". It is tried again by itself.");
    }
  }

  private void take(Capture capture) {
    try {
      List<Remark> heard = capture.take(() -> show(capture.view(), Phase.READING));
      synchronized (this) {
        said = heard;
        tell(null);
      }
      refresh(capture);
    } catch (BadInput | IOException e) {
      lost(capture, e.getMessage() + ". What was read is kept; it is tried again by itself.");
    }
  }

  private void lost(Capture capture, String why) {
    CaptureView now = capture.view();
    synchronized (this) {
      tell(why);
      show(now, Phase.LOST);
    }
  }

  private void refresh(Capture capture) {
    CaptureView now = capture.view();
    synchronized (this) {
      pace.restart();
      show(now, now.next() == null ? Phase.COMPLETE : Phase.READY);
    }
  }

  private synchronized void show(CaptureView now, Phase at) {
    view = now;
    phase(at);
  }

  // What followers see ------------------------------------------------------------------------

  @Override
  public synchronized ObjectNode json() {
    ObjectNode node = CaptureJson.of(view, said);
    put(node);
    node.put("survey", String.valueOf(request.survey().getFileName()));
    node.put("reader", String.valueOf(request.instrumentFile().getFileName()));
    pace.put(node.putObject("advance"), phase() == Phase.READY);
    return node;
  }
}
