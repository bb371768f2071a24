package org.fieldwright.adapters.store;

/** Somebody else changed a row since it was read, or it is there already; nothing was written. */
public final class Changed extends Exception {
  private static final long serialVersionUID = 1L;

  Changed(String what) {
    super(
        what
            + " is not what you opened: somebody else changed it, or it is there already; open it again");
  }
}
