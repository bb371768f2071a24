package org.fieldwright.app.capture;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.Closeable;
import java.io.IOException;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.Locale;
import org.fieldwright.app.Followed;
import org.fieldwright.core.BadInput;
import org.jspecify.annotations.Nullable;

/**
 * Work with a reader that goes on by itself while people look at it from several places. Everything
 * that touches the reader happens on one thread of its own. One client drives; whoever else wants
 * to takes the drive over first, so that nothing is done twice.
 */
public abstract class LiveWork extends Followed implements Closeable {
  private static final long LONGEST_END_MILLIS = 10_000;
  private static final int NOTES = 5;

  /** What is going on. */
  enum Phase {
    OPENING,
    /** A person is waited for. */
    READY,
    READING,
    /** The reading could not be done; it is tried again until it can. */
    LOST,
    /** Everything is read; or, for who seats the array, it stands where it should. */
    COMPLETE,
    SAVED,
    STOPPED,
    FAILED
  }

  private final Closeable atEnd;
  private final Thread worker;
  private final Deque<String> notes = new ArrayDeque<>();
  private Phase phase = Phase.OPENING;
  private String driver;
  private @Nullable String trouble;

  /**
   * The thread is begun by {@link #begin}, once the subclass is built.
   *
   * @param client who drives
   * @param atEnd closed when the work has ended
   */
  LiveWork(String name, String client, Closeable atEnd) {
    this.driver = client;
    this.atEnd = atEnd;
    worker = new Thread(this::run, name);
    worker.setDaemon(true);
  }

  final void begin() {
    worker.start();
  }

  /** What goes on, for somebody who wants the reader for something else. */
  public abstract String what();

  /** Does it all, on its own thread; returns once it has ended. */
  abstract void work() throws IOException, InterruptedException;

  private void run() {
    try {
      work();
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

  /** Takes the drive over. */
  public final synchronized void drive(String client) {
    driver = client;
    changed();
  }

  /** Leaves it as it stands; what was read is kept. */
  public synchronized void stop(String client) {
    requireDriver(client);
    close();
  }

  final synchronized void requireDriver(String client) {
    if (!client.equals(driver)) {
      throw new BadInput("another page drives this: take over there first");
    }
  }

  final synchronized Phase phase() {
    return phase;
  }

  final synchronized void phase(Phase now) {
    phase = hasEnded() ? phase : now;
    changed();
  }

  final synchronized void note(String text) {
    notes.addLast(text);
    if (notes.size() > NOTES) {
      notes.removeFirst();
    }
    changed();
  }

  final synchronized boolean isTroubled() {
    return trouble != null;
  }

  final synchronized void tell(@Nullable String what) {
    trouble = hasEnded() ? trouble : what;
    changed();
  }

  final synchronized void end(Phase how, @Nullable String why) {
    if (!hasEnded()) {
      phase = how;
      trouble = why;
    }
    changed();
  }

  /** What is being waited for is waited for no more. */
  final void interrupt() {
    worker.interrupt();
  }

  @Override
  public synchronized boolean hasEnded() {
    return phase == Phase.SAVED || phase == Phase.STOPPED || phase == Phase.FAILED;
  }

  /** What followers see of any such work. */
  final synchronized void put(ObjectNode node) {
    node.put("phase", id(phase)).put("driver", driver).put("trouble", trouble);
    var list = node.putArray("notes");
    notes.forEach(list::add);
  }

  static String id(Enum<?> value) {
    return value.name().toLowerCase(Locale.ROOT);
  }

  /** Ends it as it stands; what was read is kept. */
  @Override
  public void close() {
    end(Phase.STOPPED, null);
    interrupt();
  }

  /** Waits until the reader and the files are let go; called once it has ended. */
  public final void awaitEnd() {
    try {
      worker.join(LONGEST_END_MILLIS);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }
}
