package org.fieldwright.adapters.instrument;

import java.io.Closeable;
import java.io.IOException;
import java.util.function.Consumer;
import org.fieldwright.core.BadInput;

/** What measures the current of the magnet, by a profile whose values are in A. For one thread. */
public final class CurrentReader implements Closeable {
  private static final int THE_ONE = 0;

  private final ProbeReader reader;

  private CurrentReader(ProbeReader reader) {
    this.reader = reader;
  }

  /**
   * Connects, asks who is there and sets it up.
   *
   * @param notes hears of every trouble that was overcome
   * @throws BadInput if the profile is one of a reader of probes
   * @throws IOException if nobody answers
   */
  public static CurrentReader open(ReaderProfile profile, Consumer<String> notes)
      throws IOException {
    if (!profile.readsCurrent()) {
      throw new BadInput(
          profile.file() + ": read.value_unit: found no A, expected a reader of current");
    }
    return new CurrentReader(ProbeReader.connected(profile, 1, notes));
  }

  /** The current now, A; NaN if the reader shows none. */
  public double amperes() throws IOException {
    Double shown = reader.read(THE_ONE).field();
    return shown == null ? Double.NaN : shown;
  }

  @Override
  public void close() throws IOException {
    reader.close();
  }
}
