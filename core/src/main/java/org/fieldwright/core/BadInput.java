package org.fieldwright.core;

/**
 * What a person gave cannot be used. The message alone must let them mend it: which file, line and
 * field; what was found; what would be right.
 */
public final class BadInput extends RuntimeException {
  private static final long serialVersionUID = 1L;

  public BadInput(String message) {
    super(message);
  }

  public BadInput(String message, Throwable cause) {
    super(message, cause);
  }
}
