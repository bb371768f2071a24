package org.fieldwright.app.cli;

/** What the shell is told; scripts lean on these numbers. */
final class ExitStatus {
  static final int DONE = 0;

  /** A fault of the program. */
  static final int FAULT = 1;

  /** Bad usage or bad input. */
  static final int BAD_INPUT = 2;

  /** Done, {@code --gate} was given, and a limit is not met or undecided. */
  static final int LIMIT_NOT_MET = 3;

  /** The problem has no solution; the answer says by how much it is missed. */
  static final int NO_SOLUTION = 4;

  private ExitStatus() {}
}
