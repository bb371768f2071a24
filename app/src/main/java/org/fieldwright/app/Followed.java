package org.fieldwright.app;

import com.fasterxml.jackson.databind.node.ObjectNode;

/** Work that goes on and can be looked at from outside. */
public interface Followed {

  /** What a follower is told. */
  record Seen(long version, boolean ended, ObjectNode document) {}

  /** Waits until there is something newer than a version, or the time is over. */
  Seen after(long known, long millis) throws InterruptedException;
}
