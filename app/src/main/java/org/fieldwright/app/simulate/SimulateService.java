package org.fieldwright.app.simulate;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.fieldwright.adapters.WholeFolder;
import org.fieldwright.adapters.files.FieldLogWriter;
import org.fieldwright.adapters.files.LoadingFile;
import org.fieldwright.adapters.files.ScenarioFile;
import org.fieldwright.adapters.files.SurveyWriter;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.correction.IronSystem;
import org.fieldwright.core.correction.Loading;
import org.fieldwright.core.reading.Survey;
import org.fieldwright.core.simulation.Scenario;
import org.fieldwright.core.simulation.Scenario.PlannedLog;
import org.fieldwright.core.simulation.Scenario.PlannedSurvey;

/**
 * Takes the surveys and logs of a scenario and writes them as a visit would have, with the truth.
 */
public final class SimulateService {
  private static final String TRUTH = "truth.json";
  private static final String TRUTH_AFTER = "truth-after.json";

  /**
   * What was written.
   *
   * @param magnetFile the scenario's magnet file, copied
   * @param surveys in the order of the scenario
   * @param logs in the order of the scenario
   * @param truth the document of the truth
   */
  public record Simulated(Path magnetFile, List<Path> surveys, List<Path> logs, Path truth) {
    public Simulated {
      surveys = List.copyOf(surveys);
      logs = List.copyOf(logs);
    }
  }

  /** The scenario's surveys and logs, with what the magnet file says is installed. */
  public Simulated simulate(Path scenarioFile, Path out) throws IOException {
    ScenarioFile.Loaded loaded = ScenarioFile.load(scenarioFile);
    Scenario scenario = loaded.scenario();
    return write(loaded, scenario.installed(), scenario.surveys(), scenario.logs(), TRUTH, out);
  }

  /**
   * The scenario's next survey, after pieces were changed as planned.
   *
   * @param changesFile what changed in the pockets, as {@code shim --loading} writes it
   */
  public Simulated next(Path scenarioFile, Path changesFile, Path out) throws IOException {
    ScenarioFile.Loaded loaded = ScenarioFile.load(scenarioFile);
    IronSystem iron = loaded.scenario().magnet().iron();
    if (iron == null) {
      throw new BadInput(
          loaded.magnetFile() + ": found no iron, expected pockets that the changes belong to");
    }
    return next(loaded, LoadingFile.readChanged(changesFile, iron), out);
  }

  /** The scenario's next survey with this in the pockets. */
  public Simulated next(Path scenarioFile, Loading loading, Path out) throws IOException {
    return next(ScenarioFile.load(scenarioFile), loading, out);
  }

  private static Simulated next(ScenarioFile.Loaded loaded, Loading loading, Path out)
      throws IOException {
    PlannedSurvey next = loaded.scenario().next();
    if (next == null) {
      throw new BadInput(
          "scenario '"
              + loaded.scenario().name()
              + "': found no next_survey, expected one to be taken after the pieces were loaded");
    }
    return write(loaded, loading, List.of(next), List.of(), TRUTH_AFTER, out);
  }

  private static Simulated write(
      ScenarioFile.Loaded loaded,
      Loading loading,
      List<PlannedSurvey> surveys,
      List<PlannedLog> logs,
      String truthName,
      Path out)
      throws IOException {
    Scenario scenario = loaded.scenario();
    double gamma = scenario.magnet().array().gammaMHzPerT();
    Map<String, byte[]> files = new LinkedHashMap<>();
    String magnetFile = copyMagnet(loaded, files);
    List<TruthJson.Taken> taken = new ArrayList<>();
    List<Path> surveyFiles = new ArrayList<>();
    for (PlannedSurvey planned : surveys) {
      Survey survey = scenario.take(planned, loading);
      taken.add(new TruthJson.Taken(survey, planned.conditions()));
      put(files, planned.file(), SurveyWriter.write(survey, gamma));
      surveyFiles.add(out.resolve(planned.file()));
    }
    List<Path> logFiles = new ArrayList<>();
    for (PlannedLog planned : logs) {
      put(files, planned.file(), FieldLogWriter.write(scenario.take(planned), gamma));
      logFiles.add(out.resolve(planned.file()));
    }
    ObjectNode truth = TruthJson.of(scenario, Truth.of(scenario, loading), taken);
    put(files, truthName, json(truth));
    WholeFolder.write(out, files);
    return new Simulated(out.resolve(magnetFile), surveyFiles, logFiles, out.resolve(truthName));
  }

  /** The magnet file and the tables it names, under the names it knows them by. */
  private static String copyMagnet(ScenarioFile.Loaded loaded, Map<String, byte[]> files)
      throws IOException {
    Path folder = loaded.magnetFile().toAbsolutePath().normalize().getParent();
    String name = String.valueOf(loaded.magnetFile().getFileName());
    for (Path source : loaded.magnetSources()) {
      Path relative =
          folder == null
              ? source.getFileName()
              : folder.relativize(source.toAbsolutePath().normalize());
      put(files, relative.toString(), Files.readAllBytes(source));
    }
    return name;
  }

  private static void put(Map<String, byte[]> files, String name, byte[] content) {
    if (files.put(name, content) != null) {
      throw new BadInput(
          "scenario: found two files named " + name + ", expected a name of its own for each");
    }
  }

  private static byte[] json(ObjectNode node) {
    try {
      String text = new ObjectMapper().writerWithDefaultPrettyPrinter().writeValueAsString(node);
      return (text + "\n").getBytes(StandardCharsets.UTF_8);
    } catch (JsonProcessingException e) {
      throw new IllegalStateException("writing to memory failed", e);
    }
  }
}
