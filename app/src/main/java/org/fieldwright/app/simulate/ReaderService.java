package org.fieldwright.app.simulate;

import java.io.Closeable;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import org.fieldwright.adapters.files.ScenarioFile;
import org.fieldwright.adapters.instrument.simulated.SerialDoor;
import org.fieldwright.adapters.instrument.simulated.SimulatedReader;
import org.fieldwright.app.Version;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.simulation.ReaderConditions;
import org.fieldwright.core.simulation.Scenario;
import org.jspecify.annotations.Nullable;

/** A simulated reader in the virtual magnet of a scenario, until it is closed. */
public final class ReaderService implements Closeable {
  /** Name of the profile by which the simulated reader is spoken to. */
  public static final String PROFILE = SimulatedReader.PROFILE;

  private final SimulatedReader reader;
  private final @Nullable SerialDoor door;

  /**
   * Starts it.
   *
   * @param port on this machine; 0 takes a free one
   * @param serial name of a pseudo-terminal to be reached at as well; null = none
   */
  public ReaderService(Path scenarioFile, int port, @Nullable Path serial) throws IOException {
    Scenario scenario = ScenarioFile.load(scenarioFile).scenario();
    ReaderConditions conditions = scenario.reader();
    if (conditions == null) {
      throw new BadInput(
          scenarioFile
              + ": found no surveys, expected one whose conditions the reader works under");
    }
    if (serial != null && Files.exists(serial, LinkOption.NOFOLLOW_LINKS)) {
      throw new BadInput("--serial: " + serial + " exists already; expected a new name");
    }
    reader = new SimulatedReader(scenario, conditions, port, Version.current());
    try {
      door = serial == null ? null : new SerialDoor(serial, reader.port());
    } catch (IOException e) {
      reader.close();
      throw e;
    }
  }

  /** Writes that profile into a folder. */
  public Path writeProfile(Path folder) throws IOException {
    return Files.writeString(folder.resolve(PROFILE), reader.profile());
  }

  public int port() {
    return reader.port();
  }

  /** How many answers were cut, garbled or late so far. */
  public int faults() {
    return reader.faults();
  }

  @Override
  public void close() throws IOException {
    if (door != null) {
      door.close();
    }
    reader.close();
  }
}
