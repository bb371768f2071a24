package org.fieldwright.app.cli;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.Path;
import java.util.concurrent.Callable;
import org.fieldwright.app.simulate.SimulateService;
import org.fieldwright.app.simulate.SimulateService.Simulated;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Option;

/** {@code simulate --scenario S.yaml --out DIR}. */
@picocli.CommandLine.Command
final class SimulateCommand implements Callable<Integer> {
  private final Output output;

  @Option(
      names = "--scenario",
      required = true,
      paramLabel = "S.yaml",
      description = "Virtual magnet and what is measured of it.")
  private Path scenario = Path.of("");

  @Option(names = "--out", required = true, paramLabel = "DIR", description = "Where to write.")
  private Path out = Path.of("");

  @Option(
      names = "--loaded",
      paramLabel = "CHANGES.csv",
      description = "Take the scenario's next survey, after this was loaded.")
  private @Nullable Path loaded;

  @Option(names = "--json", description = "Answer with one JSON document.")
  private boolean json;

  SimulateCommand(Output output) {
    this.output = output;
  }

  @Override
  public Integer call() throws IOException {
    SimulateService service = new SimulateService();
    Simulated simulated =
        loaded == null ? service.simulate(scenario, out) : service.next(scenario, loaded, out);
    if (json) {
      output.answer(document(simulated));
    } else {
      output.answer(text(simulated));
    }
    return ExitStatus.DONE;
  }

  private static ObjectNode document(Simulated simulated) {
    ObjectNode node = JsonNodeFactory.instance.objectNode();
    node.put("magnet", simulated.magnetFile().toString());
    ArrayNode surveys = node.putArray("surveys");
    simulated.surveys().forEach(path -> surveys.add(path.toString()));
    ArrayNode logs = node.putArray("logs");
    simulated.logs().forEach(path -> logs.add(path.toString()));
    node.put("truth", simulated.truth().toString());
    return node;
  }

  private static String text(Simulated simulated) {
    StringBuilder text = new StringBuilder();
    text.append("magnet  ").append(simulated.magnetFile()).append('\n');
    simulated.surveys().forEach(path -> text.append("survey  ").append(path).append('\n'));
    simulated.logs().forEach(path -> text.append("log     ").append(path).append('\n'));
    return text.append("truth   ").append(simulated.truth()).append('\n').toString();
  }
}
