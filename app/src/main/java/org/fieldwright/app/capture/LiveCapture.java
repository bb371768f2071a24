package org.fieldwright.app.capture;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.Closeable;
import java.io.IOException;
import java.time.Clock;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.List;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import org.fieldwright.app.Followed;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.reading.TurnWatch;
import org.jspecify.annotations.Nullable;

/**
 * A capture that goes on by itself while people look at it from several places. Everything that
 * touches the reader happens on one thread of its own. One client drives; whoever else wants to
 * takes the drive over first, so that no two readings are triggered for one turn of the array.
 */
public final class LiveCapture extends Followed implements Closeable {
  private static final long RETRY_MILLIS = 2000;
  private static final long LONGEST_END_MILLIS = 10_000;
  private static final int NOTES = 5;

  /** What is going on. */
  enum Phase {
    OPENING,
    READY,
    READING,
    /** The reading could not be done; it is tried again until it can. */
    LOST,
    /** Everything is read. */
    COMPLETE,
    SAVED,
    STOPPED,
    FAILED
  }

  /** Something to be done on the capture's own thread. */
  private interface Command {
    void run(Capture capture) throws IOException;
  }

  private final CaptureRequest request;
  private final Clock clock;
  private final Closeable atEnd;
  private final Thread worker;
  private final LinkedBlockingQueue<Command> commands = new LinkedBlockingQueue<>();
  private final Deque<String> notes = new ArrayDeque<>();
  private Phase phase = Phase.OPENING;
  private @Nullable CaptureView view;
  private List<Remark> said = List.of();
  private final Pace pace = new Pace();
  private @Nullable String driver;
  private @Nullable String trouble;

  /**
   * Begins, or goes on where a journal ended.
   *
   * @param client who drives
   * @param atEnd closed with the capture
   */
  public LiveCapture(CaptureRequest request, Clock clock, String client, Closeable atEnd) {
    this.request = request;
    this.clock = clock;
    this.driver = client;
    this.atEnd = atEnd;
    worker = new Thread(this::work, "capture " + request.survey().getFileName());
    worker.setDaemon(true);
    worker.start();
  }

  // What clients ask for ----------------------------------------------------------------------

  /** Takes the drive over. */
  public synchronized void drive(String client) {
    driver = client;
    changed();
  }

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
    phase = Phase.READING;
    pace.restart();
    commands.add(this::take);
    changed();
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
      if (phase != Phase.COMPLETE) {
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

  /** Leaves it for another time; what was read is kept. */
  public synchronized void stop(String client) {
    requireDriver(client);
    close();
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

  private void requireDriver(String client) {
    if (!client.equals(driver)) {
      throw new BadInput("another page drives this survey: take over there first");
    }
  }

  private void requireIdle() {
    if (phase == Phase.OPENING || phase == Phase.READING) {
      throw new BadInput("the array is being read: wait until it is done");
    }
    if (hasEnded()) {
      throw new BadInput("this survey has ended");
    }
  }

  @Override
  public synchronized boolean hasEnded() {
    return phase == Phase.SAVED || phase == Phase.STOPPED || phase == Phase.FAILED;
  }

  // The capture's own thread ------------------------------------------------------------------

  private void work() {
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
    } catch (BadInput | IOException e) {
      end(Phase.FAILED, e.getMessage());
    } catch (InterruptedException e) {
      end(Phase.STOPPED, null);
    } catch (RuntimeException e) {
      end(Phase.FAILED, "a fault of the program: " + e.getClass().getSimpleName());
    } finally {
      closeQuietly();
    }
  }

  private void closeQuietly() {
    try {
      atEnd.close();
    } catch (IOException e) {
      note(String.valueOf(e.getMessage())); // it was only there to practise with
    }
  }

  /** How long to wait for the next command. */
  private synchronized long pause() {
    if (phase == Phase.LOST) {
      return RETRY_MILLIS;
    }
    return phase == Phase.READY ? pace.millis() : Pace.IDLE_MILLIS;
  }

  private void idle(Capture capture) {
    boolean lost;
    boolean watches;
    synchronized (this) {
      lost = phase == Phase.LOST;
      watches = watches();
      if (phase == Phase.READY && pace.isDue()) {
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
    return phase == Phase.READY && pace.watches() && view != null && view.done() > 0;
  }

  private void lookForTurn(Capture capture) {
    try {
      TurnWatch.State now = capture.watch();
      synchronized (this) {
        if (!watches()) {
          return;
        }
        if (pace.saw(now) || trouble != null) {
          trouble = null;
          changed();
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
        trouble = null;
      }
      refresh(capture);
    } catch (BadInput | IOException e) {
      lost(capture, e.getMessage() + ". What was read is kept; it is tried again by itself.");
    }
  }

  private void lost(Capture capture, String why) {
    CaptureView now = capture.view();
    synchronized (this) {
      trouble = hasEnded() ? trouble : why;
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
    phase = hasEnded() ? phase : at;
    changed();
  }

  private synchronized void note(String text) {
    notes.addLast(text);
    if (notes.size() > NOTES) {
      notes.removeFirst();
    }
    changed();
  }

  private synchronized void tell(@Nullable String what) {
    trouble = what;
    changed();
  }

  private synchronized void end(Phase how, @Nullable String why) {
    if (!hasEnded()) {
      phase = how;
      trouble = why;
    }
    changed();
  }

  // What followers see ------------------------------------------------------------------------

  @Override
  public synchronized ObjectNode json() {
    ObjectNode node = CaptureJson.of(view, said, new ArrayList<>(notes));
    node.put("phase", CaptureJson.id(phase)).put("driver", driver).put("trouble", trouble);
    node.put("survey", String.valueOf(request.survey().getFileName()));
    node.put("reader", String.valueOf(request.instrumentFile().getFileName()));
    pace.put(node.putObject("advance"), phase == Phase.READY);
    return node;
  }

  /** Ends it as it stands; what was read is kept. */
  @Override
  public void close() {
    end(Phase.STOPPED, null);
    worker.interrupt();
  }

  /** Waits until the reader and the journal are let go; called once it has ended. */
  public void awaitEnd() {
    try {
      worker.join(LONGEST_END_MILLIS);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }
}
