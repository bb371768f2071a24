package org.fieldwright.adapters.store;

/**
 * The database failed: a full disk, a broken file, a server that went away. Nothing was written.
 */
public final class StoreFault extends RuntimeException {
  private static final long serialVersionUID = 1L;

  StoreFault(String message, Throwable cause) {
    super(message, cause);
  }
}
