package org.fieldwright.app.capture;

import org.jspecify.annotations.Nullable;

/**
 * A sentence for the person at the bore.
 *
 * @param angleDeg the setting of the array that it is about; null if about none
 */
public record Remark(Kind kind, @Nullable Double angleDeg, String text) {

  /** What a sentence is about. */
  public enum Kind {
    /** Probes that did not lock at an angle. */
    LOCK,
    /** Readings of an angle that do not agree with the others. */
    READING,
    /** The array stood elsewhere. */
    ANGLE,
    /** A probe that reads off at every angle. */
    PROBE,
    DRIFT,
    /** What the machinery did by itself. */
    NOTE;

    /** Whether the angle is to be taken again. */
    public boolean asksAgain() {
      return this == LOCK || this == READING || this == ANGLE;
    }
  }

  static Remark note(String text) {
    return new Remark(Kind.NOTE, null, text);
  }
}
