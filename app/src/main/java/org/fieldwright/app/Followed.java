package org.fieldwright.app;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.TimeUnit;

/** Work that goes on and can be looked at from outside; its own monitor guards what is seen. */
public abstract class Followed {
  private long version;

  /** What a follower is told. */
  public record Seen(long version, boolean ended, ObjectNode document) {}

  /** Waits until there is something newer than a version, or the time is over. */
  public final synchronized Seen after(long known, long millis) throws InterruptedException {
    long until = System.nanoTime() + TimeUnit.MILLISECONDS.toNanos(millis);
    while (version <= known) {
      long left = TimeUnit.NANOSECONDS.toMillis(until - System.nanoTime());
      if (left <= 0) {
        break;
      }
      wait(left);
    }
    return new Seen(version, hasEnded(), json());
  }

  /** There is something newer. */
  protected final synchronized void changed() {
    version++;
    notifyAll();
  }

  /** Whether nothing changes any more. */
  public abstract boolean hasEnded();

  /** Where it stands. */
  public abstract ObjectNode json();
}
