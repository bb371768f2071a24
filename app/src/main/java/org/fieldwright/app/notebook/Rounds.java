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
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
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
      Path magnetFile = notebook.magnetFile(magnet);
      List<Assessment.Input> inputs = Findings.digests(magnetFile, changes);
      try (TemporaryFolder work = TemporaryFolder.make()) {
        Set<Path> copied = new LinkedHashSet<>(RecordService.files(magnetFile));
        if (changes != null) {
          copied.add(changes);
        }
        copy(copied, notebook.folder(magnet), work.path());
        Path copy = work.path().resolve(NotebookService.MAGNET_FILE);
        LoadedRound done = done(deed, copy, work.path());
        ObjectNode answer = RecordAnswer.json(List.of(done), RecordService.lots(copy));
        Result result = findings.result(magnet, null, Findings.Service.LOADED, inputs, options);
        write(magnet, changed(magnet, work.path(), copied), changes, done.note(), result, answer);
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

  private static void copy(Set<Path> files, Path from, Path to) throws IOException {
    for (Path file : files) {
      Path target = to.resolve(from.relativize(file).toString());
      Files.createDirectories(target.getParent());
      if (Files.exists(file)) {
        Files.copy(file, target);
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

  /** Files that are other than they were, the record first. */
  private List<NotebookService.Filed> changed(String magnet, Path work, Set<Path> copied)
      throws IOException {
    List<NotebookService.Filed> changed = new ArrayList<>();
    Path folder = notebook.folder(magnet);
    for (Path file : copied) {
      String path = folder.relativize(file).toString().replace(File.separator, "/");
      byte[] now = Files.readAllBytes(work.resolve(path));
      Document before = notebook.store().document(magnet, path).orElse(null);
      if (before == null || !before.sha256().equals(InputDigest.sha256(now))) {
        changed.add(NotebookService.filed(magnet, path, now, before));
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
