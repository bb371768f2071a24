package org.fieldwright.app.notebook;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.File;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.function.Function;
import java.util.stream.Collectors;
import org.fieldwright.adapters.files.InputDigest;
import org.fieldwright.adapters.store.Document;
import org.fieldwright.adapters.store.Result;
import org.fieldwright.adapters.store.Round;
import org.fieldwright.adapters.store.Visit;
import org.fieldwright.app.TemporaryFolder;
import org.fieldwright.app.assess.Assessment;
import org.fieldwright.app.correct.RecordAnswer;
import org.fieldwright.app.correct.RecordService;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.correction.LoadedRound;
import org.jspecify.annotations.Nullable;

/**
 * Rounds of loading. The record and the table of what is installed are written in a copy of the
 * files concerned, and then go into the store in one piece with the round: of two who record at the
 * same moment, on whatever machines, one is told that the other was first.
 */
public final class Rounds {
  private final NotebookService notebook;
  private final Findings findings;
  private final RecordService record;
  private final VisitFiling filing;
  private final Clock clock;

  public Rounds(NotebookService notebook, Findings findings, Clock clock) {
    this.notebook = notebook;
    this.findings = findings;
    this.record = new RecordService(clock);
    this.filing = new VisitFiling(notebook);
    this.clock = clock;
  }

  private interface Deed {
    LoadedRound on(Path magnetFile, Path folder);
  }

  /** Records that the changes in a file were made. */
  public ObjectNode add(String magnet, String changes, String by, String note)
      throws IOException, NotebookService.Changed {
    Path list = notebook.existing(magnet, changes);
    ObjectNode options =
        JsonNodeFactory.instance
            .objectNode()
            .put("by", by)
            .put("note", note)
            .put("changes", changes);
    return record(
        magnet,
        list,
        options,
        (file, folder) -> record.add(file, folder.resolve(changes), by, note));
  }

  /** Records that the last round was taken out again. */
  public ObjectNode takeBack(String magnet, String by, String note)
      throws IOException, NotebookService.Changed {
    ObjectNode options = JsonNodeFactory.instance.objectNode().put("by", by).put("note", note);
    return record(
        magnet,
        null,
        options.put("takes_back", true),
        (file, folder) -> record.takeBack(file, by, note));
  }

  private ObjectNode record(String magnet, @Nullable Path changes, ObjectNode options, Deed deed)
      throws IOException, NotebookService.Changed {
    synchronized (notebook.lock(magnet)) {
      notebook.bringInLine(magnet);
      Map<String, Document> before =
          notebook.store().documents(magnet).stream()
              .collect(Collectors.toMap(d -> d.label().path(), Function.identity()));
      Path magnetFile = notebook.magnetFile(magnet);
      List<Assessment.Input> inputs = Findings.digests(magnetFile, changes);
      try (TemporaryFolder work = TemporaryFolder.make()) {
        Set<Path> copied = new LinkedHashSet<>(RecordService.files(magnetFile));
        if (changes != null) {
          copied.add(changes);
        }
        copy(copied, notebook.folder(magnet), work.path(), before);
        Path copy = work.path().resolve(NotebookService.MAGNET_FILE);
        LoadedRound done = done(deed, copy, work.path());
        ObjectNode answer = RecordAnswer.json(List.of(done), RecordService.lots(copy));
        Result result = findings.result(magnet, null, Findings.Service.LOADED, inputs, options);
        List<NotebookService.Filed> changed =
            changed(magnet, work.path(), paths(copied, notebook.folder(magnet)), before);
        write(magnet, changed, changes, done.note(), result, answer);
        return answer;
      }
    }
  }

  /** A message of the copy's is one of the folder's. */
  private static LoadedRound done(Deed deed, Path magnetFile, Path folder) {
    try {
      return deed.on(magnetFile, folder);
    } catch (BadInput e) {
      throw new BadInput(String.valueOf(e.getMessage()).replace(folder + File.separator, ""), e);
    }
  }

  private static List<String> paths(Set<Path> files, Path folder) {
    return files.stream()
        .map(f -> folder.relativize(f).toString().replace(File.separator, "/"))
        .toList();
  }

  /** Copies files that are in the folder as the store has them. */
  private static void copy(Set<Path> files, Path from, Path to, Map<String, Document> kept)
      throws IOException, NotebookService.Changed {
    for (String path : paths(files, from)) {
      Path target = to.resolve(path);
      Files.createDirectories(target.getParent());
      Document document = kept.get(path);
      if (Files.exists(from.resolve(path))) {
        Files.copy(from.resolve(path), target);
        if (document == null || !document.sha256().equals(InputDigest.sha256(target))) {
          throw new NotebookService.Changed(path); // another was faster than the folder
        }
      } else if (document != null) {
        throw new NotebookService.Changed(path);
      }
    }
  }

  private void write(
      String magnet,
      List<NotebookService.Filed> changed,
      @Nullable Path changes,
      String note,
      Result unfiled,
      ObjectNode answer)
      throws IOException, NotebookService.Changed {
    String before = changes == null ? null : surveyOf(magnet, changes);
    String visit = visitOf(magnet, before);
    List<Visit> newVisits = filing.missing(magnet, List.of(visit));
    long earlier =
        notebook.store().rounds(magnet).stream().filter(r -> r.visit().equals(visit)).count();
    Round round =
        new Round(
            magnet,
            visit,
            (int) earlier + 1,
            before,
            changes == null ? null : String.valueOf(changes.getFileName()),
            changed.get(0).label().path(),
            null,
            note,
            0);
    Result result = unfiled.under(visit);
    List<byte[]> contents = findings.contents(result.inputs());
    notebook.write(
        magnet,
        rows -> {
          for (Visit v : newVisits) {
            rows.save(v);
          }
          NotebookService.all(changed, rows);
          rows.keep(result, answer.toString().getBytes(StandardCharsets.UTF_8), contents);
          return rows.save(round);
        });
  }

  /** Files that are other than they were, to be kept over what they were; the record first. */
  private static List<NotebookService.Filed> changed(
      String magnet, Path work, List<String> paths, Map<String, Document> before)
      throws IOException {
    List<NotebookService.Filed> changed = new ArrayList<>();
    for (String path : paths) {
      byte[] now = Files.readAllBytes(work.resolve(path));
      Document old = before.get(path);
      if (old == null || !old.sha256().equals(InputDigest.sha256(now))) {
        changed.add(NotebookService.filed(magnet, path, now, old));
      }
    }
    return changed;
  }

  /** The survey that a plan was made for; null where the list came from elsewhere. */
  private @Nullable String surveyOf(String magnet, Path changes) throws IOException {
    String beside = String.valueOf(changes.getFileName()).replaceFirst("\\.csv$", ".json");
    if (!notebook.files(magnet).contains(beside)) {
      return null;
    }
    JsonNode plan = new ObjectMapper().readTree(notebook.read(magnet, beside).content());
    String survey = plan.path("survey").asText();
    return notebook.store().document(magnet, survey).isPresent() ? survey : null;
  }

  /** That of the survey, else the latest one, else today's. */
  private String visitOf(String magnet, @Nullable String survey) {
    String own = survey == null ? null : findings.visitOf(magnet, survey);
    if (own != null) {
      return own;
    }
    List<Visit> all = notebook.store().visits(magnet);
    return all.isEmpty()
        ? LocalDate.ofInstant(clock.instant(), ZoneOffset.UTC).toString()
        : all.get(all.size() - 1).id();
  }

  /** Notes with a round which survey was taken after it, where it is not noted yet. */
  void surveyed(String magnet, String changes, String after)
      throws IOException, NotebookService.Changed {
    Optional<Round> open =
        notebook.store().rounds(magnet).stream()
            .filter(r -> Objects.equals(r.plan(), changes) && r.after() == null)
            .findFirst();
    if (open.isPresent()) {
      Round r = open.get();
      notebook.write(
          magnet,
          rows ->
              rows.save(
                  new Round(
                      magnet,
                      r.visit(),
                      r.number(),
                      r.before(),
                      r.plan(),
                      r.loaded(),
                      after,
                      r.note(),
                      r.revision())));
    }
  }
}
