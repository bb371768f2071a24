package org.fieldwright.app.notebook;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.time.Clock;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Objects;
import org.fieldwright.adapters.files.InputDigest;
import org.fieldwright.adapters.files.MagnetFile;
import org.fieldwright.adapters.store.Document;
import org.fieldwright.adapters.store.KeptResult;
import org.fieldwright.adapters.store.Result;
import org.fieldwright.app.Version;
import org.fieldwright.app.assess.Assessment;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.correction.Plan;
import org.jspecify.annotations.Nullable;

/**
 * What was computed for a magnet and decided on: plans, rounds, comparisons, evidence. Each is kept
 * with its answer and with all that is needed to compute it again.
 */
public final class Findings {
  /** The services whose results are kept, as the command line calls them. */
  enum Service {
    SHIM,
    LOADED,
    COMPARE,
    EVIDENCE;

    String id() {
      return name().toLowerCase(java.util.Locale.ROOT);
    }
  }

  private final NotebookService notebook;
  private final Clock clock;

  public Findings(NotebookService notebook, Clock clock) {
    this.notebook = notebook;
    this.clock = clock;
  }

  /** The inputs of a result, each once, in the order given. */
  static List<Result.Input> inputs(List<Assessment.Input> files) {
    return files.stream().distinct().map(i -> new Result.Input(i.file(), i.sha256())).toList();
  }

  /** Files as inputs: the magnet's description with its tables, and others. */
  static List<Assessment.Input> digests(Path magnetFile, @Nullable Path... others) {
    List<Path> files = new ArrayList<>(MagnetFile.load(magnetFile).sources());
    Arrays.stream(others).filter(Objects::nonNull).forEach(files::add);
    return files.stream()
        .map(f -> new Assessment.Input(String.valueOf(f.getFileName()), InputDigest.sha256(f)))
        .toList();
  }

  /** Contents of inputs, to be held while something long is computed from them. */
  List<byte[]> contents(List<Result.Input> inputs) {
    List<byte[]> contents = new ArrayList<>();
    for (Result.Input input : inputs) {
      contents.add(
          notebook
              .store()
              .content(input.sha256())
              .orElseThrow(
                  () -> new BadInput(input.path() + ": was changed at this moment; ask again")));
    }
    return contents;
  }

  /**
   * A result of now.
   *
   * @param visit to which it belongs; null = none
   */
  Result result(
      String magnet,
      @Nullable String visit,
      Service service,
      List<Assessment.Input> inputs,
      ObjectNode options) {
    return new Result(
        magnet,
        visit,
        service.id(),
        inputs(inputs),
        Version.current(),
        options.toString(),
        null,
        null,
        clock.instant().truncatedTo(ChronoUnit.SECONDS));
  }

  /** The result of a search. */
  Result found(
      String magnet,
      @Nullable String visit,
      List<Assessment.Input> inputs,
      ObjectNode options,
      Plan plan) {
    Result r = result(magnet, visit, Service.SHIM, inputs, options);
    return new Result(
        magnet,
        visit,
        r.service(),
        r.inputs(),
        r.version(),
        r.options(),
        plan.seed(),
        plan.iterations(),
        r.computed());
  }

  /** Keeps a result, unless the same was computed from the same before. */
  void keepOnce(Result result, byte[] answer) throws IOException, NotebookService.Changed {
    if (notebook.store().results(result.magnet()).stream()
        .noneMatch(k -> isSame(k.result(), result))) {
      keep(result, answer);
    }
  }

  void keep(Result result, byte[] answer) throws IOException, NotebookService.Changed {
    KeptResult unused = notebook.write(result.magnet(), rows -> rows.keep(result, answer));
  }

  private static boolean isSame(Result a, Result b) {
    return a.service().equals(b.service())
        && a.version().equals(b.version())
        && a.inputs().equals(b.inputs())
        && a.options().equals(b.options());
  }

  /** The visit that a file was filed under; null where it belongs to none. */
  @Nullable String visitOf(String magnet, String file) {
    return notebook
        .store()
        .document(magnet, file)
        .map(Document::label)
        .map(l -> l.visit())
        .orElse(null);
  }

  /** All that is kept of a magnet, the latest first. */
  public ObjectNode all(String magnet) throws IOException {
    notebook.folder(magnet);
    ObjectNode root = JsonNodeFactory.instance.objectNode();
    ArrayNode list = root.putArray("results");
    for (KeptResult kept : notebook.store().results(magnet)) {
      Result r = kept.result();
      ObjectNode node = list.addObject().put("id", kept.id()).put("service", r.service());
      node.put("visit", r.visit()).put("program_version", r.version());
      node.put("computed", r.computed().toString());
      node.put("seed", r.seed()).put("iterations", r.iterations());
      node.set("options", options(r));
      ArrayNode inputs = node.putArray("inputs");
      r.inputs().forEach(i -> inputs.addObject().put("file", i.path()).put("sha256", i.sha256()));
      node.put("answer_sha256", kept.answer());
    }
    return root;
  }

  private static com.fasterxml.jackson.databind.JsonNode options(Result result) {
    try {
      return new ObjectMapper().readTree(result.options());
    } catch (JsonProcessingException e) {
      throw new IllegalStateException("the store keeps only JSON there", e);
    }
  }

  /** The document a service answered with, and its file name. */
  @SuppressWarnings("ArrayRecordComponent") // handed over once, never compared
  public record Answered(String name, byte[] content) {}

  public Answered answer(String magnet, String id) throws IOException {
    KeptResult kept =
        notebook.store().results(magnet).stream()
            .filter(r -> r.id().equals(id))
            .findFirst()
            .orElseThrow(() -> new NoSuchFileException(magnet + "/" + id));
    String service = kept.result().service();
    return new Answered(
        magnet + "-" + service + (service.equals(Service.EVIDENCE.id()) ? ".zip" : ".json"),
        notebook.store().content(kept.answer()).orElseThrow());
  }
}
