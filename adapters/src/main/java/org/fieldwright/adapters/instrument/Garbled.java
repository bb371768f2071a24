package org.fieldwright.adapters.instrument;

import java.io.IOException;
import org.fieldwright.adapters.text.Found;

/** An answer that is none: the question is asked again. */
final class Garbled extends IOException {
  private static final long serialVersionUID = 1L;

  Garbled(String answer, String expected) {
    super("found the answer " + Found.quoted(answer) + ", expected " + expected);
  }
}
