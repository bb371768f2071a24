package org.fieldwright.adapters.instrument;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.fieldwright.adapters.files.ScenarioFile;
import org.fieldwright.adapters.instrument.simulated.SimulatedReader;
import org.fieldwright.core.simulation.Scenario;

/** A virtual magnet of a pair of loops, an array of four probes, and a reader in it. */
public final class Rig implements AutoCloseable {
  public static final double GAMMA = 42.57638543; // shielded proton, CODATA 2022, MHz/T

  private final Path folder;
  private final Scenario scenario;
  private final SimulatedReader reader;

  /**
   * Starts the reader.
   *
   * @param survey more keys of the survey
   * @param behaviour keys of the scenario's reader
   */
  public Rig(Path folder, String survey, String behaviour) throws IOException {
    this.folder = folder;
    Files.writeString(
        folder.resolve("magnet.yaml"),
        """
        magnet: {field_T: 0.55}
        array: {radius_mm: 150, probes: {kind: gauss_legendre, count: 4}, range_MHz: [22.2, 24.6]}
        """);
    Path file = folder.resolve("scenario.yaml");
    Files.writeString(
        file,
        """
        scenario: a pair of loops
        seed: 20260405
        magnet: magnet.yaml
        loops:
          - {radius_mm: 500, centre_mm: [0, 0, 400], ampere_turns: 1000}
          - {radius_mm: 500, centre_mm: [2, 0, -400], ampere_turns: 1000}
        surveys: [{file: s.csv, start: "2026-04-05T08:00:00Z", angles: 8, averages: 4, %s}]
        reader: {%s}
        """
            .formatted(survey, behaviour));
    scenario = ScenarioFile.load(file).scenario();
    reader = new SimulatedReader(scenario, scenario.reader(), 0, "test");
  }

  public Scenario scenario() {
    return scenario;
  }

  public SimulatedReader reader() {
    return reader;
  }

  /** The profile that ships, for this reader. */
  public ReaderProfile profile(String... changes) throws IOException {
    String text = reader.profile();
    for (int i = 0; i < changes.length; i += 2) {
      if (!text.contains(changes[i])) {
        throw new IllegalArgumentException(changes[i]);
      }
      text = text.replace(changes[i], changes[i + 1]);
    }
    Path file = folder.resolve("profile.yaml");
    Files.writeString(file, text);
    return ReaderProfileFile.read(file);
  }

  @Override
  public void close() throws IOException {
    reader.close();
  }
}
