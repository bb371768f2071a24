package org.fieldwright.adapters.store;

import java.sql.SQLException;

/**
 * The database failed: a full disk, a broken file, a server that went away. Nothing was written.
 */
public final class StoreFault extends RuntimeException {
  private static final long serialVersionUID = 1L;

  StoreFault(String message, Throwable cause) {
    super(message, cause);
  }

  static StoreFault of(SQLException e) {
    return new StoreFault("the store failed: " + e.getMessage(), e);
  }
}
