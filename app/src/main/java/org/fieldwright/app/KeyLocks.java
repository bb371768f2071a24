package org.fieldwright.app;

import java.util.stream.Stream;

/**
 * A lock for a key: who asks for what another is just computing waits and finds it, instead of
 * computing it too. Keys are spread over a fixed number of locks, so that none has to be forgotten.
 */
public final class KeyLocks {
  private static final int LOCKS = 64;

  private final Object[] locks = Stream.generate(Object::new).limit(LOCKS).toArray();

  /** To synchronize on; never that of two keys at once. */
  public Object of(Object key) {
    return locks[Math.floorMod(key.hashCode(), LOCKS)];
  }
}
