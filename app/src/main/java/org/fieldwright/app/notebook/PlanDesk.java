package org.fieldwright.app.notebook;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.time.Clock;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import org.fieldwright.adapters.AtomicFile;
import org.fieldwright.app.Version;
import org.fieldwright.app.assess.Assessment;
import org.fieldwright.app.correct.CorrectService;
import org.fieldwright.app.correct.PlanJson;
import org.fieldwright.app.correct.TradeOff;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.correction.Plan;

/**
 * Searches for plans that go on while people look at something else. One search runs at a time, as
 * it takes every processor; others wait their turn. A finished plan lies in the magnet's folder as
 * its list of changes, {@code plan-N.csv}, with what it promises and how it was found beside it,
 * {@code plan-N.json}; only then is its search said to be done.
 */
public final class PlanDesk implements AutoCloseable {
  private static final int REMEMBERED = 100;
  private static final int MOST_WAITING = 20;

  private final NotebookService notebook;
  private final AssessedSurveys surveys;
  private final Clock clock;
  private final ExecutorService worker = Executors.newSingleThreadExecutor();
  private final Map<String, PlanSearch> searches = new LinkedHashMap<>();
  private int count;

  public PlanDesk(NotebookService notebook, AssessedSurveys surveys, Clock clock) {
    this.notebook = notebook;
    this.surveys = surveys;
    this.clock = clock;
  }

  /**
   * Starts a search.
   *
   * @param asked as the page asked, kept with the plan
   * @param seconds to search at most; for each plan of a curve
   * @param curve all the plans of {@link TradeOff} instead of the one plan
   */
  public synchronized PlanSearch start(
      String magnet,
      String survey,
      CorrectService.Options options,
      double seconds,
      boolean curve,
      ObjectNode asked)
      throws IOException {
    notebook.existing(magnet, survey);
    notebook.magnetFile(magnet);
    if (searches.values().stream().filter(s -> !s.ended()).count() >= MOST_WAITING) {
      throw new BadInput(
          "%d searches are waiting already: let some end or stop them first"
              .formatted(MOST_WAITING));
    }
    double atMost = curve ? seconds * TradeOff.SEARCHES : seconds;
    PlanSearch search = new PlanSearch("search-" + ++count, magnet, survey, atMost, !curve);
    searches.put(search.id(), search);
    forgetOld();
    Planner planner = curve ? curve(options, seconds, search) : one(options, search);
    worker.execute(() -> run(search, planner, asked));
    return search;
  }

  private void forgetOld() {
    var all = searches.values().iterator();
    while (searches.size() > REMEMBERED && all.hasNext()) {
      if (all.next().ended()) {
        all.remove();
      }
    }
  }

  public synchronized PlanSearch find(String id) throws NoSuchFileException {
    PlanSearch search = searches.get(id);
    if (search == null) {
      throw new NoSuchFileException(id);
    }
    return search;
  }

  /** The searches of a magnet that this process knows of, the first one first. */
  public synchronized List<PlanSearch> of(String magnet) {
    return searches.values().stream().filter(s -> s.magnet().equals(magnet)).toList();
  }

  /** Finds one or several plans, the one to look at first in front. */
  private interface Planner {
    List<Plan> plans(Assessment found);
  }

  private static Planner one(CorrectService.Options options, PlanSearch search) {
    return found -> List.of(CorrectService.plan(found.magnet(), found.model(), options, search));
  }

  private static Planner curve(
      CorrectService.Options options, double secondsEach, PlanSearch search) {
    return found ->
        TradeOff.of(found.magnet(), found.model(), options, secondsEach, search).rows().stream()
            .map(TradeOff.Row::plan)
            .toList();
  }

  private void run(PlanSearch search, Planner planner, ObjectNode asked) {
    try {
      if (search.shouldStop()) {
        search.fail("stopped before it began");
        return;
      }
      search.begin();
      Assessment found = surveys.of(search.magnet(), search.survey(), null);
      List<String> names = new ArrayList<>();
      for (Plan plan : planner.plans(found)) {
        names.add(keep(search, found, plan, asked));
      }
      search.done(names.get(0));
    } catch (BadInput e) {
      search.fail(notebook.withoutPlace(String.valueOf(e.getMessage())));
    } catch (IOException e) {
      search.fail("the plan could not be written: " + e.getMessage());
    } catch (RuntimeException e) {
      search.fail("a fault of the program: " + e.getClass().getSimpleName());
    }
  }

  /** Writes the plan; its list of changes comes last, as it is what makes it a plan. */
  private String keep(PlanSearch search, Assessment found, Plan plan, ObjectNode asked)
      throws IOException {
    synchronized (notebook) {
      Path folder = notebook.folder(search.magnet());
      List<String> there = notebook.files(search.magnet());
      int number = 1;
      while (there.contains("plan-" + number + ".csv")
          || there.contains("plan-" + number + ".json")) {
        number++;
      }
      String name = "plan-" + number;
      ObjectNode node = PlanJson.of(plan, search.elapsed());
      node.put("survey", search.survey());
      node.set("asked", asked);
      node.put("program_version", Version.current());
      node.put("found", clock.instant().truncatedTo(ChronoUnit.SECONDS).toString());
      var inputs = node.putArray("inputs");
      found
          .inputs()
          .forEach(i -> inputs.addObject().put("file", i.file()).put("sha256", i.sha256()));
      AtomicFile.write(
          folder.resolve(name + ".json"),
          (node.toPrettyString() + "\n").getBytes(StandardCharsets.UTF_8));
      CorrectService.writeChanges(folder.resolve(name + ".csv"), plan);
      return name;
    }
  }

  /** Stops every search; what was not finished is lost, what was is kept. */
  @Override
  public void close() {
    synchronized (this) {
      searches.values().forEach(PlanSearch::stop);
    }
    worker.shutdown();
  }
}
