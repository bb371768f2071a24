package org.fieldwright.app.notebook;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.time.Clock;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.List;
import org.fieldwright.adapters.store.Result;
import org.fieldwright.app.TemporaryFolder;
import org.fieldwright.app.Version;
import org.fieldwright.app.assess.Assessment;
import org.fieldwright.app.correct.CorrectService;
import org.fieldwright.app.correct.PlanJson;
import org.fieldwright.app.correct.TradeOff;
import org.fieldwright.core.correction.Plan;

/**
 * Searches for plans, one at a time, as each takes every processor. A finished plan is kept as its
 * list of changes, {@code plan-N.csv}, with what it promises and how it was found beside it, {@code
 * plan-N.json}; only then is its search said to be done.
 */
public final class PlanDesk implements AutoCloseable {
  private static final int MOST_TRIES = 5;

  private final NotebookService notebook;
  private final AssessedSurveys surveys;
  private final Findings findings;
  private final Clock clock;
  private final SearchRoom<PlanSearch> room;

  public PlanDesk(
      NotebookService notebook, AssessedSurveys surveys, Findings findings, Clock clock) {
    this.notebook = notebook;
    this.surveys = surveys;
    this.findings = findings;
    this.clock = clock;
    room = new SearchRoom<>(notebook, "the plan could not be written");
  }

  /**
   * Starts a search.
   *
   * @param asked as the page asked, kept with the plan
   * @param seconds to search at most; for each plan of a curve
   * @param curve all the plans of {@link TradeOff} instead of the one plan
   */
  public PlanSearch start(
      String magnet,
      String survey,
      CorrectService.Options options,
      double seconds,
      boolean curve,
      ObjectNode asked)
      throws IOException {
    notebook.existing(magnet, survey);
    notebook.magnetFile(magnet);
    double atMost = curve ? seconds * TradeOff.SEARCHES : seconds;
    Planner planner = curve ? curve(options, seconds) : one(options);
    return room.start(
        id -> new PlanSearch(id, magnet, survey, atMost, !curve),
        search -> run(search, planner, asked));
  }

  public PlanSearch find(String id) throws NoSuchFileException {
    return room.find(id);
  }

  /** The searches of a magnet that this process knows of, the first one first. */
  public List<PlanSearch> of(String magnet) {
    return room.of(magnet);
  }

  /** Finds one or several plans, the one to look at first in front. */
  private interface Planner {
    List<Plan> plans(Assessment found, PlanSearch search);
  }

  private static Planner one(CorrectService.Options options) {
    return (found, search) ->
        List.of(CorrectService.plan(found.magnet(), found.model(), options, search));
  }

  private static Planner curve(CorrectService.Options options, double secondsEach) {
    return (found, search) ->
        TradeOff.of(found.magnet(), found.model(), options, secondsEach, search).rows().stream()
            .map(TradeOff.Row::plan)
            .toList();
  }

  private void run(PlanSearch search, Planner planner, ObjectNode asked) throws IOException {
    Assessment found = surveys.of(search.magnet(), search.survey(), null);
    List<byte[]> contents = findings.contents(Findings.inputs(found.inputs()));
    List<String> names = new ArrayList<>();
    for (Plan plan : planner.plans(found, search)) {
      names.add(keep(search, found, contents, plan, asked));
    }
    search.done(names.get(0));
  }

  /** Keeps the plan under the next free number, its two files and the result in one piece. */
  private String keep(
      PlanSearch search, Assessment found, List<byte[]> contents, Plan plan, ObjectNode asked)
      throws IOException {
    ObjectNode node = PlanJson.of(plan, search.elapsed());
    node.put("survey", search.survey());
    node.set("asked", asked);
    node.put("program_version", Version.current());
    node.put("found", clock.instant().truncatedTo(ChronoUnit.SECONDS).toString());
    var inputs = node.putArray("inputs");
    found.inputs().forEach(i -> inputs.addObject().put("file", i.file()).put("sha256", i.sha256()));
    byte[] answer = (node.toPrettyString() + "\n").getBytes(StandardCharsets.UTF_8);
    ObjectNode options = asked.deepCopy();
    options.set("choices", surveys.choices(search.magnet(), search.survey()).choices().json());
    Result result =
        findings.found(
            search.magnet(),
            findings.visitOf(search.magnet(), search.survey()),
            found.inputs(),
            options,
            plan);
    for (int tries = 1; ; tries++) {
      try {
        return keep(search.magnet(), answer, changes(plan), result, contents);
      } catch (NotebookService.Changed e) { // another server took the number
        if (tries == MOST_TRIES) {
          throw new IOException(e.getMessage(), e);
        }
      }
    }
  }

  private static byte[] changes(Plan plan) throws IOException {
    try (TemporaryFolder work = TemporaryFolder.make()) {
      Path file = work.path().resolve("changes.csv");
      CorrectService.writeChanges(file, plan);
      return Files.readAllBytes(file);
    }
  }

  private String keep(
      String magnet, byte[] answer, byte[] changes, Result result, List<byte[]> contents)
      throws IOException, NotebookService.Changed {
    synchronized (notebook.lock(magnet)) {
      notebook.bringInLine(magnet);
      List<String> there = notebook.files(magnet);
      int number = 1;
      while (there.contains("plan-" + number + ".csv")
          || there.contains("plan-" + number + ".json")) {
        number++;
      }
      String name = "plan-" + number;
      List<NotebookService.Filed> files =
          List.of(
              NotebookService.filed(magnet, name + ".json", answer, null),
              NotebookService.filed(magnet, name + ".csv", changes, null));
      notebook.write(
          magnet,
          rows -> {
            rows.keep(result, answer, contents);
            return NotebookService.all(files, rows);
          });
      return name;
    }
  }

  /** Stops every search; the best so far of the one that runs is kept. */
  @Override
  public void close() {
    room.close();
  }
}
